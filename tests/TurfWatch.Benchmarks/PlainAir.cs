using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>Conductances of the air, each worked out from the canopy whenever it is wanted; see <see cref="Aerodynamics"/>.</summary>
internal sealed class PlainAir(SurfaceParameters surface, double windHeightM)
{
    private double Displacement => 0.66 * surface.HeightM;
    private double Roughness => 0.123 * surface.HeightM;
    private double LogWind => Math.Log(Math.Max(windHeightM - Displacement, 0.5) / Roughness);
    private double LogHeat => Math.Log((2 - Displacement) / Roughness);

    public double Stability(double airC, double canopyC, double wind)
    {
        var at2m = Math.Max(wind, 1) * LogHeat / LogWind;
        var ri =
            9.81 * (2 - Displacement) * (airC - canopyC) / ((airC + 273.15) * Math.Pow(at2m, 2));
        return ri <= 0
            ? Math.Pow(1 - (16 * ri), 0.5)
            : 1 / (1 + (10 * Math.Min(ri, 0.108) * (1 + (8 * Math.Min(ri, 0.108)))));
    }

    public double Friction(double wind, double stability) =>
        0.41 * Math.Max(wind, 1) * Math.Sqrt(stability) / LogWind;

    public double ToAir(double friction, double stability) =>
        0.41 * friction * Math.Sqrt(stability) / LogHeat;

    public double Leaf(double friction) =>
        surface.LeafArea * 0.01 * Math.Sqrt(Math.Max(friction, 0.01) / surface.LeafWidthM);

    public double Ground(double friction, double groundMinusAir)
    {
        var u = Math.Max(friction, 0.01);
        var buoyancy = 9.81 * surface.HeightM / 290 * -groundMinusAir / (u * u);
        var forced = 0.004 * u / (groundMinusAir >= 0 ? 1 : 1 + (0.5 * Math.Min(10, buoyancy)));
        var free = 6.7e-4 * Math.Cbrt(Math.Max(0, groundMinusAir));
        var dense = Math.Cbrt(Math.Pow(forced, 3) + Math.Pow(free, 3));
        var bare = Math.Exp(-surface.LeafArea);
        return bare < 0.01
            ? dense
            : ((1 - bare) * dense) + (bare * 0.41 / 0.13 * Math.Pow(0.01 * u / 1.5e-5, -0.45) * u);
    }
}
