namespace TurfWatch.Core.Physics;

/// <summary>The constants of one surface; fixed for all sites, or following from what the owner says of the lawn.</summary>
internal readonly record struct SurfaceParameters
{
    /// <summary>Canopy height [m].</summary>
    public double HeightM { get; init; }

    /// <summary>Leaf and stem area per ground area [m²/m²].</summary>
    public double LeafArea { get; init; }

    /// <summary>Air temperature at which the stomata open widest [°C].</summary>
    public double BestAirC { get; init; }

    /// <summary>Leaf area that a seasonal canopy adds when it is green [m²/m²].</summary>
    public double SummerLeafArea { get; init; }

    /// <summary>Share of the leaf area that is alive at most [0–1].</summary>
    public double GreenShare { get; init; }

    /// <summary>The canopy greens and browns with the warmth of the soil.</summary>
    public bool Seasonal { get; init; }

    /// <summary>Albedo of the canopy and of the ground below it.</summary>
    public double LeafAlbedo { get; init; }

    /// <summary>Albedo of the ground.</summary>
    public double GroundAlbedo { get; init; }

    /// <summary>Resistance of thatch or litter to heat [m²K/W].</summary>
    public double CoverResistance { get; init; }

    /// <summary>Resistance of thatch or litter to vapour [s/m].</summary>
    public double CoverVapourResistance { get; init; }

    /// <summary>Width of a leaf [m].</summary>
    public double LeafWidthM { get; init; }

    /// <summary>Least stomatal resistance of a leaf in full sun [s/m].</summary>
    public double LeafResistance { get; init; }

    /// <summary>Most water that the leaves hold [mm].</summary>
    public double LeafStoreMm { get; init; }

    /// <summary>Depth of the roots [m].</summary>
    public double RootDepthM { get; init; }

    /// <summary>Share of the roots' available water that can be used up without stress [0–1].</summary>
    public double EasyWater { get; init; }

    /// <summary>Share of the sun's radiation that reaches the lawn [0–1].</summary>
    public double SunShare { get; init; }

    /// <summary>Share of the sky that the lawn sees [0–1].</summary>
    public double SkyView { get; init; }

    /// <summary>Watered before it suffers.</summary>
    public bool Irrigated { get; init; }

    /// <summary>The soil.</summary>
    public SoilHydraulics Soil { get; init; }

    public static SurfaceParameters For(SurfaceClass surface, GroundCover cover)
    {
        var turf = new SurfaceParameters
        {
            HeightM = 0.06,
            LeafArea = 2.5,
            GreenShare = surface.Canopy == CanopyState.Active ? 0.9 : 0,
            LeafAlbedo = surface.Canopy == CanopyState.Active ? 0.23 : 0.25,
            GroundAlbedo = 0.2,
            CoverResistance = 0.03,
            CoverVapourResistance = 100,
            LeafWidthM = 0.004,
            BestAirC = surface.WarmSeason ? 33 : 25,
            LeafResistance = surface.WarmSeason ? 84 : 60,
            LeafStoreMm = 0.1,
            RootDepthM = 0.2,
            EasyWater = surface.WarmSeason ? 0.5 : 0.4,
            SunShare = surface.Shade switch
            {
                Shade.Sun => 1,
                Shade.Partial => 0.6,
                _ => 0.25,
            },
            SkyView = surface.Shade switch
            {
                Shade.Sun => 1,
                Shade.Partial => 0.7,
                _ => 0.4,
            },
            Irrigated = surface.Irrigated,
            Soil = SoilHydraulics.Of(surface.Soil),
        };
        return cover switch
        {
            GroundCover.Turf => turf,
            GroundCover.TallGrass => turf with
            {
                HeightM = 0.5,
                LeafArea = 1,
                SummerLeafArea = 1,
                GreenShare = 0.8,
                Seasonal = true,
                CoverResistance = 0.1,
                CoverVapourResistance = 1000,
                LeafResistance = 350,
                LeafWidthM = 0.006,
                BestAirC = 33,
                LeafStoreMm = 0.12,
                RootDepthM = 1.0,
            },
            GroundCover.BareSoil => turf with
            {
                HeightM = 0.03,
                LeafArea = 0.05,
                CoverResistance = 0.02,
                CoverVapourResistance = 0,
                LeafStoreMm = 0.01,
            },
            _ => throw new ArgumentOutOfRangeException(nameof(cover), cover, "unknown cover"),
        };
    }
}
