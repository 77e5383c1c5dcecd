namespace TurfWatch.Core.Physics;

/// <summary>What stands on the soil.</summary>
public enum GroundCover
{
    /// <summary>Mown turf, about 6 cm.</summary>
    Turf,

    /// <summary>Grass that no one mows: a deep canopy over its own litter, brown in winter.</summary>
    TallGrass,

    /// <summary>Nothing, or hardly anything.</summary>
    BareSoil,
}
