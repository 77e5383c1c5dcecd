using System.Runtime.Intrinsics;

namespace TurfWatch.Core.Physics;

/// <summary><see cref="Aerodynamics"/> and <see cref="AirAbove"/> of four surfaces at once; see <see cref="SideBySide"/>.</summary>
internal readonly struct FourAir
{
    private readonly Vector256<double> _leafScale;
    private readonly Vector256<double> _bareShare;
    private readonly Vector256<double> _bareScale;
    private readonly Vector256<double> _buoyancy;
    private readonly Vector256<double> _airC;
    private readonly Vector256<double> _perKelvin;
    private readonly Vector256<double> _neutralFriction;
    private readonly Vector256<double> _perFriction;

    public FourAir(
        in Aerodynamics a,
        in Aerodynamics b,
        in Aerodynamics c,
        in Aerodynamics d,
        Vector256<double> airC,
        Vector256<double> windMS
    )
    {
        _leafScale = Vector256.Create(a.LeafScale, b.LeafScale, c.LeafScale, d.LeafScale);
        _bareScale = Vector256.Create(a.BareScale, b.BareScale, c.BareScale, d.BareScale);
        _buoyancy = Vector256.Create(a.Buoyancy, b.Buoyancy, c.Buoyancy, d.Buoyancy);
        var bareShare = Vector256.Create(a.BareShare, b.BareShare, c.BareShare, d.BareShare);
        _bareShare = Vector256.ConditionalSelect(
            Vector256.LessThan(bareShare, V(Aerodynamics.LeastBareShare)),
            Zero,
            bareShare
        );
        var logWind = Vector256.Create(a.LogWind, b.LogWind, c.LogWind, d.LogWind);
        var logHeat = Vector256.Create(a.LogHeat, b.LogHeat, c.LogHeat, d.LogHeat);
        var heightAbove = Vector256.Create(
            a.HeightAbove,
            b.HeightAbove,
            c.HeightAbove,
            d.HeightAbove
        );
        var wind = Vector256.Max(windMS, V(Aerodynamics.LeastWindMS));
        var at2m = wind * logHeat / logWind;
        _airC = airC;
        _perKelvin =
            V(Aerodynamics.Gravity)
            * heightAbove
            / ((airC + V(Psychrometrics.ZeroCelsiusK)) * at2m * at2m);
        _neutralFriction = V(Aerodynamics.Karman) * wind / logWind;
        _perFriction = V(Aerodynamics.Karman) / logHeat;
    }

    private static Vector256<double> Zero => Vector256<double>.Zero;

    private static Vector256<double> One => Vector256<double>.One;

    /// <summary>Conductance from all leaves to the canopy's air.</summary>
    /// <param name="frictionRoot">√ of the friction velocity, cut at 0.01 m/s.</param>
    public Vector256<double> Leaf(Vector256<double> frictionRoot) => _leafScale * frictionRoot;

    /// <summary>Conductance from the ground to the canopy's air.</summary>
    /// <param name="friction">Friction velocity, cut at 0.01 m/s.</param>
    /// <param name="groundMinusAir">Ground less canopy air [K].</param>
    public Vector256<double> Ground(Vector256<double> friction, Vector256<double> groundMinusAir)
    {
        var forced = V(Aerodynamics.DenseGround) * friction;
        var colder = Vector256.LessThan(groundMinusAir, Zero);
        var dense = Zero;
        if (Any(colder))
        {
            var square = friction * friction;
            var half = V(0.5) * Vector256.Min(V(10) * square, -groundMinusAir * _buoyancy);
            dense = forced * square / (square + half);
        }

        if (Any(~colder))
        {
            var free = Vector256.Max(groundMinusAir, Zero);
            dense = Where(
                colder,
                dense,
                VectorMath.Pow(
                    (forced * forced * forced) + (V(Aerodynamics.FreeCubed) * free),
                    1.0 / 3
                )
            );
        }

        return Any(Vector256.GreaterThan(_bareShare, Zero))
            ? ((One - _bareShare) * dense)
                + (_bareShare * _bareScale * VectorMath.Pow(friction, 0.55))
            : dense;
    }

    /// <summary>Factor of stability on the conductance to the air above [0-…].</summary>
    public Vector256<double> Stability(Vector256<double> canopyC)
    {
        var richardson = _perKelvin * (_airC - canopyC);
        var unstable = Vector256.LessThanOrEqual(richardson, Zero);
        var factor = Zero;
        if (Any(unstable))
        {
            factor = Vector256.Sqrt(One - (V(16) * Vector256.Min(richardson, Zero)));
        }

        if (Any(~unstable))
        {
            var stable = Vector256.Min(richardson, V(AirAbove.MostRichardson));
            factor = Where(
                unstable,
                factor,
                One / (One + (V(10) * stable * (One + (V(8) * stable))))
            );
        }

        return factor;
    }

    /// <summary>Conductance from the canopy's air to the air at 2 m: neutral friction and heat both go with √ of the stability.</summary>
    public Vector256<double> ToAir(Vector256<double> stability) =>
        _perFriction * _neutralFriction * stability;

    /// <summary>Friction velocity [m/s], cut at 0.01.</summary>
    public Vector256<double> Friction(Vector256<double> stability) =>
        Vector256.Max(_neutralFriction * Vector256.Sqrt(stability), V(AirAbove.LeastFrictionMS));

    private static Vector256<double> V(double value) => Vector256.Create(value);

    private static bool Any(Vector256<double> mask) => mask.ExtractMostSignificantBits() != 0;

    private static Vector256<double> Where(
        Vector256<double> mask,
        Vector256<double> then,
        Vector256<double> otherwise
    ) => Vector256.ConditionalSelect(mask, then, otherwise);
}
