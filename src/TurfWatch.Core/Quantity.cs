using NodaTime;

namespace TurfWatch.Core;

/// <summary>What a number measures; it decides the unit that a reader sees.</summary>
public enum QuantityKind
{
    /// <summary>Temperature, held in °C.</summary>
    Temperature,

    /// <summary>Temperature difference, held in K.</summary>
    TemperatureDifference,

    /// <summary>Depth of rain, dew or irrigation, held in mm.</summary>
    WaterDepth,

    /// <summary>Length of leaves, height of cut, held in cm.</summary>
    GrassHeight,

    /// <summary>A height of cut, as it is set or was told [cm].</summary>
    CutHeight,

    /// <summary>Wind speed, held in m/s.</summary>
    WindSpeed,

    /// <summary>A share, held in percent.</summary>
    Percent,

    /// <summary>Area, held in m².</summary>
    Area,

    /// <summary>A rate of product, seed or nitrogen, held in g/m².</summary>
    AreaRate,

    /// <summary>A mass, held in kg.</summary>
    Mass,

    /// <summary>A span of time, held in hours.</summary>
    Hours,

    /// <summary>A count or an index without a unit.</summary>
    Plain,
}

/// <summary>A number that keeps its meaning until a reader's units are known.</summary>
/// <param name="Kind">What it measures, and so in which unit <paramref name="Value"/> is held.</param>
/// <param name="Value">The number, in the unit that its kind names.</param>
public readonly record struct Quantity(QuantityKind Kind, double Value)
{
    /// <summary>A temperature [°C].</summary>
    public static Quantity TemperatureC(double celsius) => new(QuantityKind.Temperature, celsius);

    /// <summary>A temperature difference [K].</summary>
    public static Quantity DifferenceK(double kelvin) =>
        new(QuantityKind.TemperatureDifference, kelvin);

    /// <summary>A depth of water [mm].</summary>
    public static Quantity WaterMm(double mm) => new(QuantityKind.WaterDepth, mm);

    /// <summary>A grass height [cm].</summary>
    public static Quantity HeightCm(double cm) => new(QuantityKind.GrassHeight, cm);

    /// <summary>A height of cut, as it is set or was told [cm].</summary>
    public static Quantity CutCm(double cm) => new(QuantityKind.CutHeight, cm);

    /// <summary>A wind speed [m/s].</summary>
    public static Quantity WindMS(double metresPerSecond) =>
        new(QuantityKind.WindSpeed, metresPerSecond);

    /// <summary>A share [%].</summary>
    public static Quantity Percent(double percent) => new(QuantityKind.Percent, percent);

    /// <summary>A span of time [h].</summary>
    public static Quantity Hours(double hours) => new(QuantityKind.Hours, hours);

    /// <summary>A number without a unit.</summary>
    public static Quantity Plain(double value) => new(QuantityKind.Plain, value);
}
