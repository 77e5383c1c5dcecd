namespace TurfWatch.Core.Physics;

/// <summary>
/// How air carries heat and vapour: between the canopy's air and the air at 2 m, between leaves and the canopy's
/// air, between the ground and the canopy's air. Conductances in m/s.
/// </summary>
/// <remarks>
/// Above: logarithmic profiles with displacement 0.66 h and roughness 0.123 h (FAO-56, box 4), times a function of
/// the bulk Richardson number Ri. Unstable: (1 - 16 Ri)^0.5 in bulk form after Louis (1979, Bound.-Layer Meteorol.
/// 17:187), simplified. Stable: 1/(1 + 10 Ri (1 + 8 Ri)) with Ri cut at 0.108
/// (form: judgement; cut: at a third of the neutral conductance, Water 2017, 9:607). Leaves: 0.01 (u/w)^½ per leaf area (Oleson et al. 2013, CLM 4.5, eq. 5.122, from memory, unverified)
/// with the friction velocity as the wind inside. Ground: C_s u*, bare and dense values after Zeng et al.
/// (2005, J. Climate 18:1) as in the same note; weaker when the ground is colder than the canopy's air
/// (Sakaguchi and Zeng 2009, J. Geophys. Res. 114:D01107). Coefficients from memory, unverified. Where the ground is warmer
/// than the canopy's air, free convection of a layer heated from below carries on without wind: Nu = 0.069 Ra^⅓ Pr^0.074
/// (Globe and Dropkin 1959, J. Heat Transfer 81:24, from memory, unverified; made for Ra above 3e5, in turf of 6 cm it is about 1e5; leaves
/// in the way are left out), joined with the forced part as the cube root of the sum of cubes (Churchill 1977, AIChE J. 23:10, from memory, unverified).
/// Wind is at least 1 m/s, as CLM takes it. <see cref="SideBySide"/> has the same for four surfaces at once: change both.
/// </remarks>
internal readonly struct Aerodynamics
{
    public const double Karman = 0.41;
    public const double Gravity = 9.81;
    private const double TemperatureHeightM = 2;

    /// <summary>A canopy that leaves less of the ground bare than this leaves none.</summary>
    public const double LeastBareShare = 0.01;

    // Cups stall and an hour's mean hides gusts and meanders, so that a calm hour still has some wind.
    public const double LeastWindMS = 1;

    public const double DenseGround = 0.004;

    // Cube of the conductance of free convection for one kelvin, air at 10 °C: 0.069 κ (g/(Tνκ))^⅓ Pr^0.074 = 6.7e-4 m/s.
    public const double FreeCubed = 6.7e-4 * 6.7e-4 * 6.7e-4;

    public readonly double LogWind;
    public readonly double LogHeat;
    public readonly double HeightAbove;
    public readonly double LeafScale;
    public readonly double BareShare;
    public readonly double BareScale;
    public readonly double Buoyancy;

    public Aerodynamics(in SurfaceParameters surface, double windHeightM)
    {
        var displacement = 0.66 * surface.HeightM;
        var roughness = 0.123 * surface.HeightM;
        HeightAbove = TemperatureHeightM - displacement;
        LogWind = Math.Log(Math.Max(windHeightM - displacement, 0.5) / roughness);
        LogHeat = Math.Log(HeightAbove / roughness);
        LeafScale = surface.LeafArea * 0.01 / Math.Sqrt(surface.LeafWidthM);
        Buoyancy = Gravity * surface.HeightM / 290;
        BareShare = Math.Exp(-surface.LeafArea);
        BareScale = Karman / 0.13 * Math.Pow(0.01 / 1.5e-5, -0.45);
    }

    /// <summary>What the hour's air and wind fix, so that the iteration need not.</summary>
    public AirAbove Above(double airC, double windMS)
    {
        var wind = Math.Max(windMS, LeastWindMS);
        var at2m = wind * LogHeat / LogWind;
        return new(
            airC,
            Gravity * HeightAbove / ((airC + Psychrometrics.ZeroCelsiusK) * at2m * at2m),
            Karman * wind / LogWind,
            Karman / LogHeat
        );
    }

    /// <summary>Conductance from all leaves to the canopy's air.</summary>
    /// <param name="frictionRoot">√ of the friction velocity, cut at 0.01 m/s.</param>
    public double Leaf(double frictionRoot) => LeafScale * frictionRoot;

    /// <summary>Conductance from the ground to the canopy's air.</summary>
    /// <param name="friction">Friction velocity, cut at 0.01 m/s.</param>
    /// <param name="groundMinusAir">Ground less canopy air [K].</param>
    public double Ground(double friction, double groundMinusAir)
    {
        var dense = DenseGround * friction;
        if (groundMinusAir < 0)
        {
            dense /= 1 + (0.5 * Math.Min(10, -groundMinusAir * Buoyancy / (friction * friction)));
        }
        else
        {
            dense = Math.Cbrt((dense * dense * dense) + (FreeCubed * groundMinusAir));
        }

        return BareShare < LeastBareShare
            ? dense
            : ((1 - BareShare) * dense) + (BareShare * BareScale * Math.Pow(friction, 0.55));
    }
}

/// <summary>The air above the canopy in one hour; see <see cref="Aerodynamics"/>.</summary>
/// <param name="AirC">Its temperature [°C].</param>
/// <param name="PerKelvin">Bulk Richardson number per kelvin that the air is warmer than the canopy's.</param>
/// <param name="NeutralFriction">Friction velocity in neutral air [m/s].</param>
/// <param name="PerFriction">Conductance in neutral air over the friction velocity.</param>
internal readonly record struct AirAbove(
    double AirC,
    double PerKelvin,
    double NeutralFriction,
    double PerFriction
)
{
    // An hour's mean hides bursts of mixing: conductance never falls under a third of the neutral one, the factor at
    // which dew equations agreed with measurement (Water 2017, 9:607).
    public const double MostRichardson = 0.108;
    public const double LeastFrictionMS = 0.01;

    /// <summary>Factor of stability on the conductance to the air above [0-…].</summary>
    public double Stability(double canopyC)
    {
        var richardson = PerKelvin * (AirC - canopyC);
        if (richardson <= 0)
        {
            return Math.Sqrt(1 - (16 * richardson));
        }

        richardson = Math.Min(richardson, MostRichardson);
        return 1 / (1 + (10 * richardson * (1 + (8 * richardson))));
    }

    /// <summary>Conductance from the canopy's air to the air at 2 m: neutral friction and heat both go with √ of the stability.</summary>
    public double ToAir(double stability) => PerFriction * NeutralFriction * stability;

    /// <summary>Friction velocity [m/s], cut at 0.01.</summary>
    public double Friction(double stability) =>
        Math.Max(NeutralFriction * Math.Sqrt(stability), LeastFrictionMS);
}
