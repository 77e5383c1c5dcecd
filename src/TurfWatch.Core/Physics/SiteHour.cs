namespace TurfWatch.Core.Physics;

/// <summary>The weather of one hour as the kernel takes it: complete, in one set of units.</summary>
internal readonly record struct SiteHour
{
    /// <summary>Air temperature [°C].</summary>
    public double AirC { get; init; }

    /// <summary>Vapour pressure of the air [hPa].</summary>
    public double VapourHPa { get; init; }

    /// <summary>Wind at the series' height [m/s].</summary>
    public double WindMS { get; init; }

    /// <summary>Global radiation over open ground [W/m²].</summary>
    public double ShortwaveWM2 { get; init; }

    /// <summary>Long-wave radiation from the open sky [W/m²].</summary>
    public double LongwaveWM2 { get; init; }

    /// <summary>Precipitation [mm].</summary>
    public double RainMm { get; init; }

    /// <summary>Chance that it rains in the hour [0–1]; NaN where the weather does not say, and the rain told is then taken as certain.</summary>
    public double RainChance { get; init; }

    /// <summary>Share of the sky covered [0–1].</summary>
    public double Cloud { get; init; }

    /// <summary>Hour of the day at the middle of the hour, local mean solar time [0–24).</summary>
    public double SolarHour { get; init; }

    /// <summary>Temperature and humidity are known or bridged; else the hour cannot be run.</summary>
    public bool Usable { get; init; }

    /// <summary>Temperature or humidity or wind were bridged or assumed.</summary>
    public bool Bridged { get; init; }
}
