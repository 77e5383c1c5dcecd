using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>The numbers of the day; a number that is not known is left out, never written as zero.</summary>
public static class MorningFacts
{
    // The physics spins its soil up on about as many.
    private const int SettledDays = 60;

    /// <summary>The numbers.</summary>
    public static ImmutableArray<BriefingFact> Of(Morning morning)
    {
        var facts = ImmutableArray.CreateBuilder<BriefingFact>();
        Soil(morning, facts);
        Dew(morning, facts);
        Rain(morning, facts);
        Evapotranspiration(morning, facts);
        SoilWater(morning, facts);
        Growth(morning, facts);
        FreezeFacts.Add(morning, facts);
        return facts.ToImmutable();
    }

    private static void Soil(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        var site = morning.Site;
        if (At(morning) is not { } i || double.IsNaN(site.SoilTemperature10CmC[i]))
        {
            return;
        }

        var error = site.SoilTemperatureStdDevC[i];
        var soil = Quantity.TemperatureC(site.SoilTemperature10CmC[i]);
        facts.Add(
            new(
                Phrase.Of($"Soil at {morning.TenCm}"),
                double.IsNaN(error)
                    ? Phrase.Of($"about {soil}")
                    : Phrase.Of($"{soil}, give or take {Quantity.DifferenceK(error)}")
            )
        );
        Reading(morning, facts);
        if (site.SpinUpDays < 30 || site.HistoryCoverage < 0.8)
        {
            facts.Add(new(Phrase.Of($"How sure of the soil"), HowSure(site)));
        }
    }

    private static Phrase HowSure(SiteConditions site)
    {
        var days = (int)Math.Floor(site.SpinUpDays);
        var known = Math.Min(days, (int)Math.Floor(KnownSoil.Days(site)));
        return (days, known) switch
        {
            (_, 0) => Phrase.Of(
                $"not very: it was started from a guess, because no past weather could be had"
            ),
            _ when known == days => Phrase.Of(
                $"not very: it rests on {Days(days)} of past weather; about {SettledDays} would settle it"
            ),
            _ => Phrase.Of(
                $"not very: it rests on {Days(days)} of past weather of which {known} are known; about {SettledDays} would settle it"
            ),
        };
    }

    private static string Days(int days) => days == 1 ? "1 day" : $"{days} days";

    private static void Reading(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        if (morning.Site.Readings.Count == 0)
        {
            return;
        }

        var last = morning.Site.Readings[^1];
        facts.Add(
            new(
                Phrase.Of($"Corrected by your reading"),
                Phrase.Of(
                    $"{Quantity.TemperatureC(last.TemperatureC)} on {last.At.InZone(morning.Zone).Date}"
                )
            )
        );
    }

    private static void Dew(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        if (At(morning) is { } i && morning.Site.DewMm[i] >= 0.01)
        {
            facts.Add(
                new(
                    Phrase.Of($"Dew on the leaves"),
                    WaterOnLeaves.Dew(morning, morning.Site.DewMm[i])
                )
            );
        }
    }

    private static void Rain(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        var rain = morning.Site.Weather[WeatherColumn.PrecipitationMm];
        var day = Duration.FromHours(24);
        Add($"Rain, last 24 hours", Sum(morning, rain, morning.Now - day, morning.Now));
        Add($"Rain, next 24 hours", Sum(morning, rain, morning.Now, morning.Now + day));

        void Add(FormattableString label, double mm)
        {
            if (!double.IsNaN(mm))
            {
                facts.Add(new(Phrase.Of(label), Phrase.Of($"{Quantity.WaterMm(mm)}")));
            }
        }
    }

    private static void Evapotranspiration(
        Morning morning,
        ImmutableArray<BriefingFact>.Builder facts
    )
    {
        var yesterday = morning.Zone.AtStartOfDay(morning.Date.PlusDays(-1)).ToInstant();
        var before = Sum(morning, morning.Site.Et0Mm, yesterday, morning.DayStart);
        var today = Sum(morning, morning.Site.Et0Mm, morning.DayStart, morning.DayEnd);
        var value = (double.IsNaN(before), double.IsNaN(today)) switch
        {
            (false, false) => Phrase.Of(
                $"{Quantity.WaterMm(before)} yesterday, {Quantity.WaterMm(today)} today"
            ),
            (false, true) => Phrase.Of($"{Quantity.WaterMm(before)} yesterday"),
            (true, false) => Phrase.Of($"{Quantity.WaterMm(today)} today"),
            _ => null,
        };
        if (value is not null)
        {
            facts.Add(new(Phrase.Of($"Water that sun and wind draw (ET0)"), value));
        }
    }

    private static void SoilWater(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        if (At(morning) is not { } i)
        {
            return;
        }

        var label = Phrase.Of($"Water left in the root zone");
        var days = KnownSoil.Days(morning.Site);
        if (!double.IsNaN(morning.Site.AvailableWaterFraction[i]))
        {
            facts.Add(
                new(
                    label,
                    Phrase.Of(
                        $"{Quantity.Percent(morning.Site.AvailableWaterFraction[i] * 100)} of what it can hold"
                    )
                )
            );
        }
        else if (days < KnownSoil.RootZoneDays)
        {
            facts.Add(
                new(
                    label,
                    Phrase.Of(
                        $"not known yet: it takes about {KnownSoil.RootZoneDays} days of past weather, and we have {(int)Math.Floor(days)}"
                    )
                )
            );
        }
    }

    private static void Growth(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        var need = morning.Need;
        if (morning.Growing.Canopy == CanopyState.Dormant)
        {
            return;
        }

        if (!double.IsNaN(need.RateCmPerDay))
        {
            facts.Add(
                new(
                    Phrase.Of($"Growth, next days"),
                    Phrase.Of(
                        $"about {Quantity.HeightCm(need.RateCmPerDay * 7)} a week ({morning.Growing.Grass.Name})"
                    )
                )
            );
        }

        Correction(need.Growth, facts);

        // Seed that is not up has no height worth telling.
        if (need.HeightCm > 0)
        {
            facts.Add(
                new(
                    Phrase.Of($"Grass height"),
                    Phrase.Of(
                        $"about {Quantity.HeightCm(need.HeightCm)}, give or take {Quantity.HeightCm(need.HeightErrorCm)}; due at {Quantity.HeightCm(need.DueHeightCm)}"
                    )
                )
            );
        }
    }

    private static void Correction(
        Agronomy.GrowthCorrection growth,
        ImmutableArray<BriefingFact>.Builder facts
    )
    {
        var percent = Quantity.Percent(Math.Abs(growth.Factor - 1) * 100);
        if (growth.FromRecord && Math.Abs(growth.Factor - 1) >= 0.05)
        {
            facts.Add(
                new(
                    Phrase.Of($"Growth by what you measured"),
                    growth.Factor > 1
                        ? Phrase.Of($"{percent} faster than the book says")
                        : Phrase.Of($"{percent} slower than the book says")
                )
            );
        }
    }

    private static int? At(Morning morning)
    {
        var i = morning.Site.IndexOf(morning.Now - Duration.FromMinutes(30));
        return i >= 0 && i < morning.Site.Count ? i : null;
    }

    // Sum of the hours that end in (from, to]; NaN when more than a quarter of them are not known.
    private static double Sum(
        Morning morning,
        ReadOnlySpan<double> column,
        Instant from,
        Instant to
    )
    {
        double sum = 0;
        var known = 0;
        var first = morning.Site.IndexOf(from + Duration.FromSeconds(1));
        var last = morning.Site.IndexOf(to);
        for (var i = first; i <= last; i++)
        {
            if (i >= 0 && i < column.Length && !double.IsNaN(column[i]))
            {
                sum += column[i];
                known++;
            }
        }

        return known >= 0.75 * (to - from).TotalHours ? sum : double.NaN;
    }
}
