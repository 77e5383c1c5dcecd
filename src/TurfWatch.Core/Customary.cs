namespace TurfWatch.Core;

/// <summary>What the units of people in the United States are in ours, exactly (NIST Special Publication 811, appendix B).</summary>
public static class Customary
{
    /// <summary>An inch [cm].</summary>
    public const double InchCm = 2.54;

    /// <summary>An inch [mm].</summary>
    public const double InchMm = 25.4;

    /// <summary>A foot [cm].</summary>
    public const double FootCm = 30.48;

    /// <summary>A mile [m].</summary>
    public const double MileM = 1609.344;

    /// <summary>A pound [kg].</summary>
    public const double PoundKg = 0.45359237;

    /// <summary>A square foot [m²].</summary>
    public const double SquareFootM2 = 0.09290304;

    /// <summary>An acre [m²].</summary>
    public const double AcreM2 = 4046.8564224;

    /// <summary>One pound per 1,000 square feet [g/m²].</summary>
    public const double PoundPerThousandSquareFeet = PoundKg / SquareFootM2;
}
