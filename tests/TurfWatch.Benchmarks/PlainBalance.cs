using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>The energy balance of leaves and ground, term by term; Newton's method as <see cref="SurfaceBalance"/> takes it.</summary>
internal sealed class PlainBalance
{
    private const double Hour = 3600;
    private const double Sigma = 5.670374e-8;
    private const double Emissivity = 0.97;
    private const double Melting = 30;
    private const double Thawing = 300;
    private const double Fusion = 3.337e5;

    public required PlainAir Air { get; init; }
    public double AirC { get; init; }
    public double VapourHPa { get; init; }
    public double Wind { get; init; }
    public double PressureHPa { get; init; }
    public double SunLeaf { get; init; }
    public double SunGround { get; init; }
    public double Sky { get; init; }
    public double Open { get; init; }
    public double Water { get; init; }
    public double Ice { get; init; }
    public double Store { get; init; }
    public double Snow { get; init; }
    public double Stomata { get; init; }
    public double GroundResistance { get; init; }

    private double Latent => 2.501e6 - (2361 * AirC);
    private double Film => Water + Ice;
    private double HeatCapacity =>
        1013
        * 100
        * (((PressureHPa - VapourHPa) / 287.055) + (VapourHPa / 461.523))
        / (AirC + 273.15);

    // Turns a vapour pressure into a latent heat.
    private double LatentScale => HeatCapacity / (0.665e-3 * PressureHPa);

    public sealed record Unknowns(double LeafC, double GroundC, double AirC, double Vapour);

    public sealed record Fluxes(
        double LeafC,
        double Soil,
        double Melt,
        double LeafEvaporation,
        double Transpiration,
        double GroundEvaporation,
        double Thaw,
        double LeafPotential
    );

    /// <summary>Mean of the two stages of the hour.</summary>
    public static Fluxes Mean(Fluxes one, Fluxes two, double weight)
    {
        double Of(Func<Fluxes, double> pick) => ((1 - weight) * pick(one)) + (weight * pick(two));
        return new(
            Of(f => f.LeafC),
            Of(f => f.Soil),
            Of(f => f.Melt),
            Of(f => f.LeafEvaporation),
            Of(f => f.Transpiration),
            Of(f => f.GroundEvaporation),
            Of(f => f.Thaw),
            Of(f => f.LeafPotential)
        );
    }

    public static double Saturation(double c) =>
        c >= 0
            ? 6.1094 * Math.Exp(17.625 * c / (243.04 + c))
            : 6.1121 * Math.Exp(22.587 * c / (273.86 + c));

    private static double Slope(double c) =>
        c >= 0
            ? Saturation(c) * 17.625 * 243.04 / Math.Pow(243.04 + c, 2)
            : Saturation(c) * 22.587 * 273.86 / Math.Pow(273.86 + c, 2);

    public (Unknowns, Fluxes) Solve(Unknowns start, double soilConductance, double soilReference)
    {
        var (leafC, groundC, canopyC, canopyE) = start;
        double stability = 1;
        for (var round = 0; ; round++)
        {
            // Conductances as the last round left the temperatures.
            var wanted = Air.Stability(AirC, canopyC, Wind);
            stability = round < 6 ? wanted : (stability + wanted) / 2;
            var friction = Air.Friction(Wind, stability);
            var a = Air.ToAir(friction, stability);
            var l = Air.Leaf(friction);
            var g = Air.Ground(friction, groundC - canopyC);
            var gv = Saturation(groundC) < canopyE ? g : 1 / ((1 / g) + GroundResistance);
            var without = ((a * VapourHPa) + (gv * Saturation(groundC))) / (a + gv);
            var wet =
                Saturation(leafC) <= without
                    ? 1
                    : Wet(LatentScale * l * (Saturation(leafC) - canopyE) / Latent);
            var lv = (wet * l) + ((1 - wet) * l * Stomata / (l + Stomata));

            // The canopy's air is the mean of its neighbours.
            double CanopyC(double tl, double tg) =>
                ((a * AirC) + (l * tl) + (g * tg)) / (a + l + g);
            double CanopyE(double el, double eg) =>
                ((a * VapourHPa) + (lv * el) + (gv * eg)) / (a + lv + gv);
            canopyC = CanopyC(leafC, groundC);
            canopyE = CanopyE(Saturation(leafC), Saturation(groundC));
            var (melt, meltSlope) = Melt(leafC);
            var (thaw, thawSlope) = Thaw(groundC);

            // Residuals.
            var (longLeaf, longGround) = Longwave(leafC, groundC);
            var scale = LatentScale;
            var leLeaf = scale * lv * (Saturation(leafC) - canopyE);
            var leGround = scale * gv * (Saturation(groundC) - canopyE);
            var soil = soilConductance * (groundC - soilReference);
            var missLeaf =
                SunLeaf + longLeaf - (HeatCapacity * l * (leafC - canopyC)) - leLeaf - melt;
            var missGround =
                SunGround
                + longGround
                - (HeatCapacity * g * (groundC - canopyC))
                - leGround
                - soil
                - thaw;

            // Their derivatives, the conductances held.
            var up = 4 * Sigma * Math.Pow(leafC + 273.15, 3);
            var upGround = 4 * Sigma * Math.Pow(groundC + 273.15, 3);
            var cover = 1 - Open;
            var (sl, sg) = (Slope(leafC), Slope(groundC));
            var ll =
                (cover * (((1 - Emissivity) * cover) - 2) * up)
                - (HeatCapacity * l * (1 - (l / (a + l + g))))
                - (scale * lv * sl * (1 - (lv / (a + lv + gv))))
                - meltSlope;
            var lg =
                (cover * Emissivity * upGround)
                + (HeatCapacity * l * g / (a + l + g))
                + (scale * lv * gv * sg / (a + lv + gv));
            var gl =
                (cover * Emissivity * up)
                + (HeatCapacity * l * g / (a + l + g))
                + (scale * lv * gv * sl / (a + lv + gv));
            var gg =
                -(Emissivity * upGround)
                - (HeatCapacity * g * (1 - (g / (a + l + g))))
                - (scale * gv * sg * (1 - (gv / (a + lv + gv))))
                - soilConductance
                - thawSlope;
            var det = (ll * gg) - (lg * gl);
            var dl = ((lg * missGround) - (gg * missLeaf)) / det;
            var dg = ((gl * missLeaf) - (ll * missGround)) / det;
            if (Math.Abs(dl) + Math.Abs(dg) >= 1e-3 && round < 24)
            {
                var pace = round >= 8 ? 0.5 : 1;
                leafC += pace * Math.Clamp(dl, -6, 6);
                var next = groundC + (pace * Math.Clamp(dg, -6, 6));
                groundC = Snow > 0 && Math.Sign(groundC) * Math.Sign(next) < 0 ? 0 : next;
                continue;
            }

            // The last step goes along the tangents.
            var el = Saturation(leafC) + (sl * dl);
            var eg = Saturation(groundC) + (sg * dg);
            var after = new Unknowns(
                leafC + dl,
                groundC + dg,
                CanopyC(leafC + dl, groundC + dg),
                CanopyE(el, eg)
            );
            var potential = scale * l * (el - after.Vapour) / Latent;
            var leaf = wet * potential;
            return (
                after,
                new(
                    after.LeafC,
                    soil + (soilConductance * dg),
                    melt + (meltSlope * dl),
                    leaf,
                    (scale * lv * (el - after.Vapour) / Latent) - leaf,
                    scale * gv * (eg - after.Vapour) / Latent,
                    thaw + (thawSlope * dg),
                    potential
                )
            );
        }
    }

    /// <summary>How wet the leaves are over the hour when wet ones would lose so much [mm/s].</summary>
    private double Wet(double potential)
    {
        if (Film <= 0)
        {
            return 0;
        }

        var loss = potential * Hour;
        var root = Math.Cbrt(Film / Store);
        var left = Store * Math.Pow(Math.Max(0, root - (loss / (3 * Store))), 3);
        return Math.Min(1, loss < 1e-9 ? root * root : Math.Max(0, Film - left) / loss);
    }

    private (double Flux, double Slope) Melt(double leafC)
    {
        if (leafC > 0 ? Ice <= 0 : Water <= 0)
        {
            return (0, 0);
        }

        var wanted = Melting * leafC;
        var given = Math.Clamp(wanted, -Water * Fusion / Hour, Ice * Fusion / Hour);
        return (given, given == wanted ? Melting : 0);
    }

    private (double Flux, double Slope) Thaw(double groundC)
    {
        if (Snow <= 0 || groundC < 0)
        {
            return (0, 0);
        }

        var most = Snow * Fusion / Hour;
        return Thawing * groundC < most ? (Thawing * groundC, Thawing) : (most, 0);
    }

    private (double Leaf, double Ground) Longwave(double leafC, double groundC)
    {
        var cover = 1 - Open;
        var leaf = Sigma * Math.Pow(leafC + 273.15, 4);
        var down = (Open * Sky) + (cover * leaf);
        var up = (Emissivity * Sigma * Math.Pow(groundC + 273.15, 4)) + ((1 - Emissivity) * down);
        return (cover * (Sky + up - (2 * leaf)), down - up);
    }
}
