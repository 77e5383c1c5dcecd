namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The extension services' figures are in °F; here they stay recognisable.</summary>
internal static class Fahrenheit
{
    /// <summary>50 °F [°C].</summary>
    public const double F50 = (50 - 32) / 1.8;

    /// <summary>55 °F [°C].</summary>
    public const double F55 = (55 - 32) / 1.8;

    /// <summary>60 °F [°C].</summary>
    public const double F60 = (60 - 32) / 1.8;

    /// <summary>65 °F [°C].</summary>
    public const double F65 = (65 - 32) / 1.8;

    /// <summary>70 °F [°C].</summary>
    public const double F70 = (70 - 32) / 1.8;

    /// <summary>74 °F [°C].</summary>
    public const double F74 = (74 - 32) / 1.8;

    /// <summary>75 °F [°C].</summary>
    public const double F75 = (75 - 32) / 1.8;
}
