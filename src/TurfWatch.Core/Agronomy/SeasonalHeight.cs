using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>Why a height of cut is what it is.</summary>
public enum HeightReason
{
    /// <summary>The grass's usual height, or the owner's.</summary>
    Usual,

    /// <summary>Raised, because the soil is hotter than the roots bear.</summary>
    Heat,

    /// <summary>Raised, because the soil is dry.</summary>
    Drought,

    /// <summary>Raised before winter rest.</summary>
    Fall,

    /// <summary>Raised, because the lawn has shade.</summary>
    Shade,
}

/// <summary>The height of cut that the season asks for.</summary>
/// <param name="Cm">The height [cm].</param>
/// <param name="Reason">Why.</param>
/// <param name="Source">Who says so.</param>
public sealed record SeasonalHeight(double Cm, HeightReason Reason, string Source)
{
    /// <summary>Soil at 10 cm below which a warm-season grass is raised for fall: 75 °F, when rye is sown too [°C]; judgement.</summary>
    public const double FallSoilC = 23.9;

    /// <summary>Share of unstressed growth below which the soil counts as dry; judgement.</summary>
    public const double DryFactor = 0.9;

    private const string ShadeSource =
        "UF/IFAS Leon County (Tancig, 2016): in the shade mow at the higher end of the range";

    private static readonly AnnualDate FallFrom = new(8, 15);
    private static readonly AnnualDate HeatFrom = new(5, 15);
    private static readonly AnnualDate HeatUntil = new(9, 30);

    /// <summary>
    /// The usual or the owner's height, raised where the season says so: never lowered. A winter overseed has its own
    /// heights and is left at them.
    /// </summary>
    /// <remarks>
    /// Heat: cool-season roots cease above 77 °F soil (NC State / Turf Council of NC, 2005). The heights and who says
    /// so are in grasses.json.
    /// </remarks>
    /// <param name="lawn">The lawn.</param>
    /// <param name="growing">The grass that grows now.</param>
    /// <param name="date">The local date.</param>
    /// <param name="soilC">Mean soil temperature of the last five days at 10 cm [°C]; NaN when unknown.</param>
    /// <param name="availableWater">Plant-available water left in the root zone [0–1]; NaN when unknown.</param>
    public static SeasonalHeight For(
        Lawn lawn,
        GrowingGrass growing,
        LocalDate date,
        double soilC,
        double availableWater
    )
    {
        var usual = new SeasonalHeight(
            MowingNeed.HeightOfCutCm(lawn, growing),
            HeightReason.Usual,
            lawn.MowingHeightCm is null ? growing.Heights.Source : "your own setting"
        );
        if (growing.IsOverseed || growing.Canopy == CanopyState.Dormant)
        {
            return usual;
        }

        var grass = growing.Grass;
        var day = new AnnualDate(date.Month, date.Day);
        var summer = day >= HeatFrom && day <= HeatUntil;
        var best = usual;
        if (grass.StressHeightCm is { } stress && summer)
        {
            if (soilC > grass.RootStopSoilC?.Value)
            {
                Raise(stress.Value, HeightReason.Heat, stress.Source);
            }
            else if (LeafGrowth.WaterFactor(grass, availableWater) < DryFactor)
            {
                Raise(stress.Value, HeightReason.Drought, stress.Source);
            }
        }

        if (grass.FallHeightCm is { } fall && day >= FallFrom && soilC < FallSoilC)
        {
            Raise(fall.Value, HeightReason.Fall, fall.Source);
        }

        if (lawn.Shade != Core.Shade.Sun)
        {
            var share = lawn.Shade == Core.Shade.Full ? 1 : 0.5;
            var heights = growing.Heights;
            Raise(
                heights.UsualCm + (share * (heights.MaxCm - heights.UsualCm)),
                HeightReason.Shade,
                ShadeSource
            );
        }

        return best;

        void Raise(double cm, HeightReason reason, string source)
        {
            if (cm > best.Cm + 0.01)
            {
                best = new(cm, reason, source);
            }
        }
    }
}
