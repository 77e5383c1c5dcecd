namespace TurfWatch.Core.Physics;

/// <summary>The weather of one hour as the kernel takes it: complete, in one set of units.</summary>
internal struct SiteHour
{
    /// <summary>Air temperature [°C].</summary>
    public double AirC;

    /// <summary>Vapour pressure of the air [hPa].</summary>
    public double VapourHPa;

    /// <summary>Wind at the series' height [m/s].</summary>
    public double WindMS;

    /// <summary>Global radiation over open ground [W/m²].</summary>
    public double ShortwaveWM2;

    /// <summary>Long-wave radiation from the open sky [W/m²].</summary>
    public double LongwaveWM2;

    /// <summary>Precipitation [mm].</summary>
    public double RainMm;

    /// <summary>Share of the sky covered [0–1].</summary>
    public double Cloud;

    /// <summary>Hour of the day at the middle of the hour, local mean solar time [0–24).</summary>
    public double SolarHour;

    /// <summary>Temperature and humidity are known or bridged; else the hour cannot be run.</summary>
    public bool Usable;

    /// <summary>Temperature or humidity or wind were bridged or assumed.</summary>
    public bool Bridged;
}
