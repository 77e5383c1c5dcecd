namespace TurfWatch.Core.Physics;

/// <summary>What one hour hands to the next. Plain arrays and fields, so that members of an ensemble copy it cheaply.</summary>
internal sealed class SiteKernelState
{
    /// <summary>Temperature of each soil layer [°C].</summary>
    public readonly double[] SoilC = new double[SoilGrid.Layers];

    /// <summary>Ice in each soil layer [mm water].</summary>
    public readonly double[] SoilIceMm = new double[SoilGrid.Layers];

    /// <summary>Water in 0-5, 5-30 and 30-100 cm, frozen or not [mm].</summary>
    public readonly double[] SoilWaterMm = new double[SoilWater.Zones];

    /// <summary>Liquid water on the leaves [mm].</summary>
    public double LeafWaterMm;

    /// <summary>The part of <see cref="LeafWaterMm"/> that condensed [mm].</summary>
    public double DewMm;

    /// <summary>Ice on the leaves [mm water].</summary>
    public double FrostMm;

    /// <summary>Mean temperature of the upper soil over about three weeks [°C]; drives greening.</summary>
    public double SeasonC;

    /// <summary>Snow on the ground [mm water].</summary>
    public double SnowMm;

    /// <summary>Its depth [m].</summary>
    public double SnowDepthM;

    public void CopyFrom(SiteKernelState other)
    {
        other.SoilC.CopyTo(SoilC, 0);
        other.SoilIceMm.CopyTo(SoilIceMm, 0);
        other.SoilWaterMm.CopyTo(SoilWaterMm, 0);
        LeafWaterMm = other.LeafWaterMm;
        DewMm = other.DewMm;
        FrostMm = other.FrostMm;
        SeasonC = other.SeasonC;
        SnowMm = other.SnowMm;
        SnowDepthM = other.SnowDepthM;
    }
}
