using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Sentences and findings that windows share.</summary>
internal static class Told
{
    /// <summary>The depth of soil temperatures in the reader's units.</summary>
    public static string Depth(LawnYear year) => SoilDepth.TenCm(year.Lawn.Units);

    /// <summary>A date with its likely range.</summary>
    public static Phrase Dates(DateSpread spread) =>
        spread switch
        {
            { Courses: 0 } => Phrase.Of($"nothing can be said of the date"),
            { Median: { } m, Earliest: { } a, Latest: { } b } when a == b => Phrase.Of($"{m}"),
            { Median: { } m, Earliest: { } a, Latest: { } b } => Phrase.Of(
                $"about {m}, likely between {a} and {b}"
            ),
            { Median: { } m } => Phrase.Of(
                $"about {m}; in {spread.Without} of {spread.Courses} courses it does not come"
            ),
            { Earliest: { } a } => Phrase.Of(
                $"not before {a}; in {spread.Without} of {spread.Courses} courses it does not come"
            ),
            _ => Phrase.Of($"in {spread.Without} of {spread.Courses} courses it does not come"),
        };

    /// <summary>The soil now and a date.</summary>
    public static Phrase SoilAnd(LawnYear year, DateSpread spread)
    {
        var now = Marks.SoilNowC(year);
        var dates = Dates(spread);
        return double.IsNaN(now)
            ? dates with
            {
                Format = "soil of this year not known; " + dates.Format,
            }
            : new(
                $"soil at {Depth(year)} {{{dates.Arguments.Length}}} over the last five days; "
                    + dates.Format,
                dates.Arguments.Add(Quantity.TemperatureC(now))
            );
    }

    /// <summary>What the dates rest on when it is less than this year's soil; nothing otherwise.</summary>
    public static IEnumerable<Finding> Basis(LawnYear year)
    {
        if (year.Outlook.Traces.IsDefaultOrEmpty)
        {
            yield return new(
                "outlook-basis",
                AdviceWeight.Cautions,
                Phrase.Of(
                    $"No past years of weather are known here yet, so dates to come cannot be told."
                ),
                Phrase.Of($"no past years"),
                Phrase.Of($"about 20 past years"),
                "extended streamflow method: Day 1985"
            );
        }
        else if (year.Outlook.Basis == OutlookBasis.ClimateAlone)
        {
            yield return new(
                "outlook-basis",
                AdviceWeight.Cautions,
                Phrase.Of(
                    $"The dates rest on past years alone: how warm the soil is this year is not known."
                ),
                Phrase.Of($"{year.Outlook.Traces.Length} past years"),
                Phrase.Of($"the soil of today, the forecast and past years"),
                "extended streamflow method: Day 1985"
            );
        }
    }
}
