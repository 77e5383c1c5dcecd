using NodaTime;

namespace TurfWatch.Core;

/// <summary>What a laboratory found in the soil; null where it was not tested.</summary>
public sealed record SoilTest
{
    /// <summary>When the sample was taken.</summary>
    public required LocalDate Date { get; init; }

    /// <summary>pH in water, 3 to 10.</summary>
    public double? Ph { get; init; }

    /// <summary>Phosphorus, Mehlich-3 or as the laboratory says [mg/kg].</summary>
    public double? PhosphorusMgKg { get; init; }

    /// <summary>Potassium [mg/kg].</summary>
    public double? PotassiumMgKg { get; init; }

    /// <summary>Iron, DTPA [mg/kg].</summary>
    public double? IronMgKg { get; init; }

    /// <summary>Boron, hot water [mg/kg].</summary>
    public double? BoronMgKg { get; init; }

    /// <summary>Organic matter [% by weight].</summary>
    public double? OrganicMatterPercent { get; init; }

    /// <summary>Electrical conductivity of the saturated paste [dS/m].</summary>
    public double? SalinityDSM { get; init; }
}
