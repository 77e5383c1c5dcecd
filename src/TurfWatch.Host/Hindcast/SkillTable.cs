using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Hindcast;

/// <summary>Prints how far off the season outlook was at a station; docs/science/season-outlook.md has the table.</summary>
internal static class SkillTable
{
    private const int FewestYears = 4;
    private const int RecentYears = 5;

    private static readonly (string Name, double C)[] Events =
    [
        ("overseed opens, below 23.9 °C (75 °F)", 23.9),
        ("overseed, below 21.1 °C (70 °F)", 21.1),
        ("dormancy, below 12.8 °C (55 °F)", 12.8),
        ("dormancy, below 10 °C (50 °F)", 10),
    ];

    public static void Write(string name, SeasonSkill skill, TextWriter output)
    {
        output.WriteLine(
            $"{name}: {skill.Modelled.Count} days from {skill.Modelled.First:uuuu-MM-dd}"
        );
        var pairs = Enumerable.Range(60, Math.Max(0, skill.Modelled.Count - 60)).ToList();
        output.WriteLine(
            $"  soil 10 cm, daily: hours against measured {Errors(skill.Modelled, skill.Measured)}; days' figures against measured {Errors(skill.FromDaily, skill.Measured)}; days' figures against hours {Errors(skill.FromDaily, skill.Modelled)}"
        );
        foreach (var (what, celsius) in Events)
        {
            var dates = skill.Dates(celsius);
            if (dates.Count < FewestYears)
            {
                output.WriteLine(
                    $"  {what}: {dates.Count} dates in measured soil; at least {FewestYears} years with one are needed"
                );
                continue;
            }

            output.WriteLine(
                $"  {what}: {dates.Count} years, {string.Join(", ", dates.Values.Select(d => d.ToString("MM-dd", CultureInfo.InvariantCulture)))}"
            );
            foreach (var lead in SeasonSkill.Leads)
            {
                var with = Score(skill.Foretell(celsius, dates, lead));
                var without = skill.Foretell(celsius, dates, lead, forecast: false);
                output.WriteLine(
                    $"    {lead, 2} days before {with}; without a forecast {Off(DaysOff(without))}"
                );
            }

            output.WriteLine($"    climate alone  {Score(skill.ClimateAlone(celsius, dates))}");
            output.WriteLine($"    last years     {Recent(dates, earlier: true)}");
            output.WriteLine($"    other years    {Recent(dates, earlier: false)}");
        }

        string Errors(SiteDays of, SiteDays against) =>
            ErrorSummary.Of(pairs.Select(i => (of.Soil10CmC[i], against.Soil10CmC[i]))).ToString();
    }

    private static string Score(IReadOnlyList<SkillCase> cases)
    {
        var off = DaysOff(cases);
        var held = cases.Count(c =>
            c.Spread.Earliest <= c.Measured
            && (c.Spread.Latest is null || c.Measured <= c.Spread.Latest)
        );
        var widths = cases
            .Where(c => c.Spread.Earliest is not null && c.Spread.Latest is not null)
            .Select(c => Period.DaysBetween(c.Spread.Earliest!.Value, c.Spread.Latest!.Value))
            .ToList();
        var width =
            widths.Count == cases.Count
                ? string.Create(CultureInfo.InvariantCulture, $"mean width {widths.Average():F0} d")
                : $"{cases.Count - widths.Count} ranges open at the end";
        var none = cases.Count - off.Count;
        return $"{Off(off)}, range held {held} of {cases.Count}, {width}{(none > 0 ? $", {none} without a median" : "")}";
    }

    private static List<int> DaysOff(IReadOnlyList<SkillCase> cases) =>
        [
            .. cases
                .Where(c => c.Spread.Median is not null)
                .Select(c => Period.DaysBetween(c.Measured, c.Spread.Median!.Value)),
        ];

    private static string Recent(SortedDictionary<int, LocalDate> dates, bool earlier)
    {
        var off = new List<int>();
        foreach (var (year, date) in dates)
        {
            var others = dates
                .Where(d => earlier ? d.Key < year : d.Key != year)
                .OrderByDescending(d => d.Key)
                .Take(earlier ? RecentYears : int.MaxValue)
                .Select(d => Period.DaysBetween(new(d.Key, 1, 1), d.Value))
                .ToList();
            if (others.Count > 1)
            {
                off.Add(
                    (int)Math.Round(others.Average()) - Period.DaysBetween(new(year, 1, 1), date)
                );
            }
        }

        return $"{Off(off)} (mean of the {(earlier ? "up to five measured dates before" : "measured dates of all others")})";
    }

    private static string Off(List<int> days) =>
        days.Count == 0
            ? "no date"
            : string.Create(
                CultureInfo.InvariantCulture,
                $"MAE {days.Average(d => Math.Abs(d)), 4:F1} d, bias {days.Average():+0.0;-0.0} d, {days.Count} years"
            );
}
