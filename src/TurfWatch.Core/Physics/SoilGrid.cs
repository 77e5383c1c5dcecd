namespace TurfWatch.Core.Physics;

/// <summary>The layers of the site model's soil: 1 cm at the top, each next a quarter thicker, 22 in all, 5.4 m deep.</summary>
internal static class SoilGrid
{
    public const int Layers = 22;

    public static readonly double[] ThicknessM = MakeThickness();

    /// <summary>Depth of each layer's centre [m].</summary>
    public static readonly double[] DepthM = MakeDepth();

    /// <summary>Temperature at a depth, linear between the centres [°C].</summary>
    public static double At(ReadOnlySpan<double> temperature, double depthM)
    {
        var i = 0;
        while (i < Layers - 2 && DepthM[i + 1] < depthM)
        {
            i++;
        }

        var share = (depthM - DepthM[i]) / (DepthM[i + 1] - DepthM[i]);
        return temperature[i] + (share * (temperature[i + 1] - temperature[i]));
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
