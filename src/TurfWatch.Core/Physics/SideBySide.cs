using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace TurfWatch.Core.Physics;

/// <summary>
/// <see cref="SurfaceBalance.Solve"/> of four surfaces at once, such as members of an ensemble: the same equations on four numbers
/// at a time. A round waits for its chain of roots, quotients and exponentials, hardly for the number of them, so that four take
/// little longer than one. Whoever changes the balance changes both; a test holds them together.
/// </summary>
internal static class SideBySide
{
    public const int Count = 4;

    private const double SmallStepK = 1e-3;
    private const double LargestStepK = 6;
    private const int LastRound = 24;

    private static Vector256<double> Zero => Vector256<double>.Zero;

    private static Vector256<double> One => Vector256<double>.One;

    /// <summary>Solves the balances. They have the same length of step; the result of one does not depend on the others.</summary>
    public static void Solve(
        ref SurfaceBalance a,
        ref SurfaceBalance b,
        ref SurfaceBalance c,
        ref SurfaceBalance d
    )
    {
        var airC = Four(a.AirC, b.AirC, c.AirC, d.AirC);
        var vapourHPa = Four(a.VapourHPa, b.VapourHPa, c.VapourHPa, d.VapourHPa);
        var heatCapacity = Four(a.HeatCapacity, b.HeatCapacity, c.HeatCapacity, d.HeatCapacity);
        var gamma = Four(a.Gamma, b.Gamma, c.Gamma, d.Gamma);
        var latent = Four(a.Latent, b.Latent, c.Latent, d.Latent);
        var sunLeaf = Four(a.SunLeaf, b.SunLeaf, c.SunLeaf, d.SunLeaf);
        var sunGround = Four(a.SunGround, b.SunGround, c.SunGround, d.SunGround);
        var sky = Four(a.Sky, b.Sky, c.Sky, d.Sky);
        var leafOpen = Four(a.LeafOpen, b.LeafOpen, c.LeafOpen, d.LeafOpen);
        var wind = Four(a.Wind, b.Wind, c.Wind, d.Wind);
        var stomata = Four(a.Stomata, b.Stomata, c.Stomata, d.Stomata);
        var groundVapourResistance = Four(
            a.GroundVapourResistance,
            b.GroundVapourResistance,
            c.GroundVapourResistance,
            d.GroundVapourResistance
        );
        var leafWater = Four(a.LeafWater, b.LeafWater, c.LeafWater, d.LeafWater);
        var leafIce = Four(a.LeafIce, b.LeafIce, c.LeafIce, d.LeafIce);
        var leafStore = Four(a.LeafStore, b.LeafStore, c.LeafStore, d.LeafStore);
        var snow = Four(a.Snow, b.Snow, c.Snow, d.Snow);
        var soilConductance = Four(
            a.SoilConductance,
            b.SoilConductance,
            c.SoilConductance,
            d.SoilConductance
        );
        var soilReference = Four(
            a.SoilReference,
            b.SoilReference,
            c.SoilReference,
            d.SoilReference
        );
        var leafC = Four(a.LeafC, b.LeafC, c.LeafC, d.LeafC);
        var groundC = Four(a.GroundC, b.GroundC, c.GroundC, d.GroundC);
        var canopyAirC = Four(a.CanopyAirC, b.CanopyAirC, c.CanopyAirC, d.CanopyAirC);
        var canopyVapour = Four(a.CanopyVapour, b.CanopyVapour, c.CanopyVapour, d.CanopyVapour);

        var storeTotal = leafWater + leafIce;
        var film = Vector256.GreaterThan(storeTotal, Zero);
        var anyFilm = Any(film);
        var perThreeStores = One / (V(3) * leafStore);
        var wetRoot = anyFilm
            ? VectorMath.Pow(Vector256.Max(storeTotal, Zero) / leafStore, 1.0 / 3)
            : Zero;
        var snowy = Vector256.GreaterThan(snow, Zero);
        var anySnow = Any(snowy);
        var vapourScale = heatCapacity / gamma;
        var perLatent = One / latent;
        var air = new FourAir(a.Air, b.Air, c.Air, d.Air, airC, wind);
        var cover = One - leafOpen;
        var stability = One;
        var solving = Vector256<double>.AllBitsSet;
        for (var iteration = 0; ; iteration++)
        {
            var target = air.Stability(canopyAirC);
            // Stability and temperature can chase each other on calm nights: halve late steps.
            stability = iteration < 6 ? target : (stability + target) * V(0.5);
            var friction = air.Friction(stability);
            var toAir = air.ToAir(stability);
            var leaf = air.Leaf(Vector256.Sqrt(friction));
            var ground = air.Ground(friction, groundC - canopyAirC);

            var (eLeaf, slopeLeaf, eGround, slopeGround) = Vapour(leafC, groundC);

            // Two quotients by one division: it is what a round waits for.
            var throughGround = One + (ground * groundVapourResistance);
            var leafAndStomata = leaf + stomata;
            var perBoth = One / (throughGround * leafAndStomata);
            var groundVapour = Where(
                Vector256.LessThan(eGround, canopyVapour),
                ground,
                ground * leafAndStomata * perBoth
            );

            // How wet the leaves are over the step, given what would evaporate from wet ones. Whether vapour comes or
            // goes is told by the air as it would be without the leaves: the canopy's own follows them so closely
            // that at the onset of dew it would switch the sign to and fro.
            var airVapour = toAir * vapourHPa;
            var condenses = Vector256.LessThanOrEqual(
                eLeaf * (toAir + groundVapour),
                airVapour + (groundVapour * eGround)
            );
            var wet = Zero;
            if (anyFilm)
            {
                var loss = vapourScale * leaf * (eLeaf - canopyVapour) * perLatent * V(a.StepS);
                var left = LeftOf(wetRoot, leafStore, loss * perThreeStores);

                // Hardly any loss would be a difference of equals.
                wet = Vector256.Min(
                    One,
                    Where(
                        Vector256.LessThan(loss, V(1e-9)),
                        wetRoot * wetRoot,
                        Vector256.Max(Zero, storeTotal - left) / loss
                    )
                );
                wet = Where(film, wet, Zero);
            }

            wet = Where(condenses, One, wet);

            var leafVapour =
                (wet * leaf) + ((One - wet) * leaf * stomata * throughGround * perBoth);
            var allHeat = toAir + leaf + ground;
            var allVapour = toAir + leafVapour + groundVapour;
            var perAll = One / (allHeat * allVapour);
            var perHeat = allVapour * perAll;
            var perVapour = allHeat * perAll;
            var airHeat = toAir * airC;
            canopyAirC = (airHeat + (leaf * leafC) + (ground * groundC)) * perHeat;
            canopyVapour =
                (airVapour + (leafVapour * eLeaf) + (groundVapour * eGround)) * perVapour;

            // Long-wave.
            var kl = leafC + V(Psychrometrics.ZeroCelsiusK);
            var kg = groundC + V(Psychrometrics.ZeroCelsiusK);
            var kl3 = V(SurfaceBalance.Sigma) * kl * kl * kl;
            var kg3 = V(SurfaceBalance.Sigma) * kg * kg * kg;
            var downGround = (leafOpen * sky) + (cover * kl3 * kl);
            var upGround =
                (V(SurfaceBalance.GroundEmissivity) * kg3 * kg)
                + (V(1 - SurfaceBalance.GroundEmissivity) * downGround);
            var netLeaf = sunLeaf + (cover * (sky + upGround - (V(2) * kl3 * kl)));
            var netGround = sunGround + downGround - upGround;

            // Melting and freezing on the leaves.
            Vector256<double> melt = Zero,
                meltSlope = Zero;
            if (anyFilm)
            {
                (melt, meltSlope) = Melting(leafC, leafWater, leafIce, a.StepS);
            }

            // Snow on the ground melts above 0 °C.
            Vector256<double> thaw = Zero,
                thawSlope = Zero;
            if (anySnow)
            {
                (thaw, thawSlope) = Thawing(groundC, snow, a.StepS);
            }

            var hLeaf = heatCapacity * leaf * (leafC - canopyAirC);
            var hGround = heatCapacity * ground * (groundC - canopyAirC);
            var leLeaf = vapourScale * leafVapour * (eLeaf - canopyVapour);
            var leGround = vapourScale * groundVapour * (eGround - canopyVapour);
            var soil = soilConductance * (groundC - soilReference);
            var fLeaf = netLeaf - hLeaf - leLeaf - melt;
            var fGround = netGround - hGround - leGround - soil - thaw;

            // Jacobian.
            var llLeaf =
                (cover * (V(1 - SurfaceBalance.GroundEmissivity) * cover * V(4) * kl3))
                - (cover * V(8) * kl3)
                - (heatCapacity * leaf * (One - (leaf * perHeat)))
                - (vapourScale * leafVapour * slopeLeaf * (One - (leafVapour * perVapour)))
                - meltSlope;
            var lgLeaf =
                (cover * V(SurfaceBalance.GroundEmissivity * 4) * kg3)
                + (heatCapacity * leaf * ground * perHeat)
                + (vapourScale * leafVapour * slopeGround * groundVapour * perVapour);
            var glGround =
                (V(SurfaceBalance.GroundEmissivity) * cover * V(4) * kl3)
                + (heatCapacity * ground * leaf * perHeat)
                + (vapourScale * groundVapour * slopeLeaf * leafVapour * perVapour);
            var ggGround =
                -(V(SurfaceBalance.GroundEmissivity * 4) * kg3)
                - (heatCapacity * ground * (One - (ground * perHeat)))
                - (vapourScale * groundVapour * slopeGround * (One - (groundVapour * perVapour)))
                - soilConductance
                - thawSlope;
            var perDet = One / ((llLeaf * ggGround) - (lgLeaf * glGround));
            var dLeaf = ((fGround * lgLeaf) - (fLeaf * ggGround)) * perDet;
            var dGround = ((fLeaf * glGround) - (fGround * llLeaf)) * perDet;

            var ended =
                iteration == LastRound
                    ? solving
                    : solving
                        & Vector256.LessThan(
                            Vector256.Abs(dLeaf) + Vector256.Abs(dGround),
                            V(SmallStepK)
                        );
            if (Any(ended))
            {
                // The last small step, taken along the tangents, so that the balance closes to rounding.
                var dAir = ((leaf * dLeaf) + (ground * dGround)) * perHeat;
                var dELeaf = slopeLeaf * dLeaf;
                var dEGround = slopeGround * dGround;
                var dVapour = ((leafVapour * dELeaf) + (groundVapour * dEGround)) * perVapour;
                var dDown = cover * V(4) * kl3 * dLeaf;
                var dUp =
                    (V(SurfaceBalance.GroundEmissivity * 4) * kg3 * dGround)
                    + (V(1 - SurfaceBalance.GroundEmissivity) * dDown);
                var endVapour = canopyVapour + dVapour;
                var endLeLeaf = leLeaf + (vapourScale * leafVapour * (dELeaf - dVapour));
                var endLeGround = leGround + (vapourScale * groundVapour * (dEGround - dVapour));
                var potential = vapourScale * leaf * (eLeaf + dELeaf - endVapour) / latent;
                Write(ended, leafC + dLeaf, ref a.LeafC, ref b.LeafC, ref c.LeafC, ref d.LeafC);
                Write(
                    ended,
                    groundC + dGround,
                    ref a.GroundC,
                    ref b.GroundC,
                    ref c.GroundC,
                    ref d.GroundC
                );
                Write(
                    ended,
                    canopyAirC + dAir,
                    ref a.CanopyAirC,
                    ref b.CanopyAirC,
                    ref c.CanopyAirC,
                    ref d.CanopyAirC
                );
                Write(
                    ended,
                    endVapour,
                    ref a.CanopyVapour,
                    ref b.CanopyVapour,
                    ref c.CanopyVapour,
                    ref d.CanopyVapour
                );
                Write(
                    ended,
                    netLeaf + netGround + (cover * (dUp - (V(8) * kl3 * dLeaf))) + dDown - dUp,
                    ref a.NetRadiation,
                    ref b.NetRadiation,
                    ref c.NetRadiation,
                    ref d.NetRadiation
                );
                Write(
                    ended,
                    hLeaf
                        + hGround
                        + (heatCapacity * ((leaf * (dLeaf - dAir)) + (ground * (dGround - dAir)))),
                    ref a.Sensible,
                    ref b.Sensible,
                    ref c.Sensible,
                    ref d.Sensible
                );
                Write(
                    ended,
                    endLeLeaf + endLeGround,
                    ref a.LatentFlux,
                    ref b.LatentFlux,
                    ref c.LatentFlux,
                    ref d.LatentFlux
                );
                Write(
                    ended,
                    soil + (soilConductance * dGround),
                    ref a.SoilFlux,
                    ref b.SoilFlux,
                    ref c.SoilFlux,
                    ref d.SoilFlux
                );
                Write(
                    ended,
                    melt + (meltSlope * dLeaf),
                    ref a.MeltFlux,
                    ref b.MeltFlux,
                    ref c.MeltFlux,
                    ref d.MeltFlux
                );
                Write(
                    ended,
                    thaw + (thawSlope * dGround),
                    ref a.SnowMeltFlux,
                    ref b.SnowMeltFlux,
                    ref c.SnowMeltFlux,
                    ref d.SnowMeltFlux
                );
                Write(
                    ended,
                    potential,
                    ref a.LeafPotential,
                    ref b.LeafPotential,
                    ref c.LeafPotential,
                    ref d.LeafPotential
                );
                Write(
                    ended,
                    wet * potential,
                    ref a.LeafEvaporation,
                    ref b.LeafEvaporation,
                    ref c.LeafEvaporation,
                    ref d.LeafEvaporation
                );
                Write(
                    ended,
                    (endLeLeaf / latent) - (wet * potential),
                    ref a.Transpiration,
                    ref b.Transpiration,
                    ref c.Transpiration,
                    ref d.Transpiration
                );
                Write(
                    ended,
                    endLeGround / latent,
                    ref a.GroundEvaporation,
                    ref b.GroundEvaporation,
                    ref c.GroundEvaporation,
                    ref d.GroundEvaporation
                );
                solving = Vector256.AndNot(solving, ended);
                if (!Any(solving))
                {
                    return;
                }
            }

            // A flux that switches can make Newton's method jump to and fro; small steps end that.
            var damp = V(iteration >= 8 ? 0.5 : 1);
            leafC += damp * Step(dLeaf);
            var next = groundC + (damp * Step(dGround));

            // Melting has a kink at 0 °C, over which Newton's method would jump to and fro: it lands there first.
            groundC = anySnow
                ? Where(snowy & Vector256.LessThan(groundC * next, Zero), Zero, next)
                : next;
        }
    }

    private static Vector256<double> Step(Vector256<double> d) =>
        Vector256.Min(Vector256.Max(d, V(-LargestStepK)), V(LargestStepK));

    /// <summary><see cref="Physics.LeafWater.Left"/> of each lane.</summary>
    private static Vector256<double> LeftOf(
        Vector256<double> wetRoot,
        Vector256<double> store,
        Vector256<double> rootLost
    )
    {
        var root = Vector256.Max(wetRoot - rootLost, Zero);
        return store * root * root * root;
    }

    private static (Vector256<double> Melt, Vector256<double> Slope) Melting(
        Vector256<double> leafC,
        Vector256<double> water,
        Vector256<double> ice,
        double stepS
    )
    {
        var most = V(SoilFreezing.LatentJPerKg / stepS);
        var there = Vector256.GreaterThan(
            Where(Vector256.GreaterThan(leafC, Zero), ice, water),
            Zero
        );
        var melt = V(SurfaceBalance.MeltConductance) * leafC;
        var within = Vector256.Max(Vector256.Min(melt, ice * most), -water * most);
        return (
            Where(there, within, Zero),
            Where(there & Vector256.Equals(melt, within), V(SurfaceBalance.MeltConductance), Zero)
        );
    }

    private static (Vector256<double> Thaw, Vector256<double> Slope) Thawing(
        Vector256<double> groundC,
        Vector256<double> snow,
        double stepS
    )
    {
        var most = snow * V(SoilFreezing.LatentJPerKg / stepS);
        var thaw = V(SurfaceBalance.SnowMeltConductance) * groundC;
        var there = Vector256.GreaterThan(snow, Zero) & Vector256.GreaterThanOrEqual(groundC, Zero);
        return (
            Where(there, Vector256.Min(thaw, most), Zero),
            Where(
                there & Vector256.LessThan(thaw, most),
                V(SurfaceBalance.SnowMeltConductance),
                Zero
            )
        );
    }

    /// <summary><see cref="VapourCurve"/> at two temperatures of each, by one division.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (
        Vector256<double> FirstHPa,
        Vector256<double> FirstSlope,
        Vector256<double> SecondHPa,
        Vector256<double> SecondSlope
    ) Vapour(Vector256<double> firstC, Vector256<double> secondC)
    {
        var (a1, b1, c1) = CurveOf(firstC);
        var (a2, b2, c2) = CurveOf(secondC);
        var (from1, from2) = (c1 + firstC, c2 + secondC);
        var perBoth = One / (from1 * from2);
        var (inverse1, inverse2) = (from2 * perBoth, from1 * perBoth);
        var e1 = a1 * VectorMath.Exp(b1 * firstC * inverse1);
        var e2 = a2 * VectorMath.Exp(b2 * secondC * inverse2);
        return (e1, e1 * (b1 * c1) * inverse1 * inverse1, e2, e2 * (b2 * c2) * inverse2 * inverse2);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (Vector256<double> A, Vector256<double> B, Vector256<double> C) CurveOf(
        Vector256<double> tempC
    )
    {
        var water = Vector256.GreaterThanOrEqual(tempC, Zero);
        return (
            Where(water, V(VapourCurve.WaterA), V(VapourCurve.IceA)),
            Where(water, V(VapourCurve.WaterB), V(VapourCurve.IceB)),
            Where(water, V(VapourCurve.WaterC), V(VapourCurve.IceC))
        );
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Four(double a, double b, double c, double d) =>
        Vector256.Create(a, b, c, d);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> V(double value) => Vector256.Create(value);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool Any(Vector256<double> mask) => mask.ExtractMostSignificantBits() != 0;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Where(
        Vector256<double> mask,
        Vector256<double> then,
        Vector256<double> otherwise
    ) => Vector256.ConditionalSelect(mask, then, otherwise);

    private static void Write(
        Vector256<double> ended,
        Vector256<double> value,
        ref double a,
        ref double b,
        ref double c,
        ref double d
    )
    {
        value = Where(ended, value, Four(a, b, c, d));
        (a, b, c, d) = (value[0], value[1], value[2], value[3]);
    }
}
