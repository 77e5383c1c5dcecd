namespace TurfWatch.Core.Physics;

/// <summary>The layers of the site model's soil: 1 cm at the top, each next a quarter thicker, 22 in all, 5.4 m deep.</summary>
internal static class SoilGrid
{
    public const int Layers = 22;

    public static readonly double[] ThicknessM = MakeThickness();

    /// <summary>Depth of each layer's centre [m].</summary>
    public static readonly double[] DepthM = MakeDepth();

    public static readonly SoilPoint FiveCm = At(0.05);

    public static readonly SoilPoint TenCm = At(0.10);

    /// <summary>Where a depth lies, linear between the centres.</summary>
    private static SoilPoint At(double depthM)
    {
        var i = 0;
        while (i < Layers - 2 && DepthM[i + 1] < depthM)
        {
            i++;
        }

        var share = (depthM - DepthM[i]) / (DepthM[i + 1] - DepthM[i]);
        return new(i, share);
    }

    private static double[] MakeThickness()
    {
        var dz = new double[Layers];
        dz[0] = 0.01;
        for (var i = 1; i < Layers; i++)
        {
            dz[i] = dz[i - 1] * 1.25;
        }

        return dz;
    }

    private static double[] MakeDepth()
    {
        var depth = new double[Layers];
        var top = 0.0;
        for (var i = 0; i < Layers; i++)
        {
            depth[i] = top + (ThicknessM[i] / 2);
            top += ThicknessM[i];
        }

        return depth;
    }
}

/// <summary>A depth between the centres of two layers of <see cref="SoilGrid"/>.</summary>
/// <param name="Layer">The upper layer.</param>
/// <param name="Share">How far the depth lies from its centre towards the next [0–1].</param>
internal readonly record struct SoilPoint(int Layer, double Share)
{
    /// <summary>Temperature there [°C].</summary>
    public double Of(ReadOnlySpan<double> temperature) =>
        temperature[Layer] + (Share * (temperature[Layer + 1] - temperature[Layer]));
}
