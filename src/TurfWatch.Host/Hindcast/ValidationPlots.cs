using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Hindcast;

/// <summary>Pictures of a run beside what the station measured, an SVG each; docs/science/validation.md shows them.</summary>
internal sealed class ValidationPlots(
    string folder,
    string name,
    Station station,
    SiteConditions run,
    MeasuredColumns measured
)
{
    private const string Measured = "#222";
    private const string Modelled = "#1f6fb2";
    private const string Difference = "#c8641e";
    private const int SkipHours = 60 * 24;

    private static readonly string[] Months =
    [
        "Jan",
        "Feb",
        "Mar",
        "Apr",
        "May",
        "Jun",
        "Jul",
        "Aug",
        "Sep",
        "Oct",
        "Nov",
        "Dec",
    ];

    public void Write()
    {
        Soil("5cm", "5 cm", run.SoilTemperature5CmC, measured.Soil5C);
        Soil("10cm", "10 cm", run.SoilTemperature10CmC, measured.Soil10C);
        DryOff();
    }

    /// <summary>How often the central range of each width held the truth.</summary>
    public void DewOffReliability(IReadOnlyList<MorningTried> mornings)
    {
        if (mornings.Count == 0)
        {
            return;
        }

        var chart = Coverage($"{name}: dew-off ranges, {mornings.Count} mornings");
        chart.Dots(
            "found",
            Modelled,
            ForecastMornings.Levels.Select(level =>
                (100.0 - (2 * level), 100.0 * mornings.Count(m => m.Holds(level)) / mornings.Count)
            ),
            4
        );
        Save("dew-off-reliability", chart);
    }

    private void Soil(string file, string depth, double[] model, double[] truth)
    {
        if (Array.TrueForAll(truth, double.IsNaN))
        {
            return;
        }

        var longitude = station.Site.LongitudeDeg;
        var modelDaily = SoilScore.Daily(run.FirstHourEnd, model, longitude, SkipHours);
        var truthDaily = SoilScore.Daily(run.FirstHourEnd, truth, longitude, SkipHours);
        if (truthDaily.Count == 0)
        {
            return;
        }

        Course(file, depth, modelDaily, truthDaily);
        ByMonth(file, depth, model, truth);
        Deviations(file, depth, model, truth);
    }

    private void Course(
        string file,
        string depth,
        SortedDictionary<LocalDate, double> model,
        SortedDictionary<LocalDate, double> truth
    )
    {
        var (first, last) = (truth.Keys.First(), truth.Keys.Last());
        var days = Period.DaysBetween(first, last) + 1;

        // A picture has room for some 400 points.
        var step = Math.Max(1, days / 400);
        double Mean(SortedDictionary<LocalDate, double> of, int from) =>
            Enumerable
                .Range(from, step)
                .Select(d => of.GetValueOrDefault(first.PlusDays(d), double.NaN))
                .Where(v => !double.IsNaN(v))
                .DefaultIfEmpty(double.NaN)
                .Average();
        var at = Enumerable.Range(0, days / step).Select(k => k * step).ToList();
        var all = truth.Values.Concat(model.Values).ToList();
        var ticks = Enumerable
            .Range(0, days)
            .Select(d => (At: (double)d, Date: first.PlusDays(d)))
            .Where(t => t.Date.Day == 1 && (days < 800 ? t.Date.Month % 3 == 1 : t.Date.Month == 1))
            .Select(t =>
                (
                    t.At,
                    days < 800
                        ? $"{Months[t.Date.Month - 1]} {t.Date.Year}"
                        : t.Date.Year.ToString(CultureInfo.InvariantCulture)
                )
            )
            .ToList();
        var chart = new SvgChart(
            $"{name}: soil at {depth}, {(step == 1 ? "daily means" : $"means of {step} days")}",
            "",
            "°C",
            (0, days),
            (Math.Floor(all.Min() / 5) * 5, Math.Ceiling(all.Max() / 5) * 5),
            ticks
        );
        chart.Line("measured", Measured, at.Select(d => ((double)d, Mean(truth, d))), 2);
        chart.Line("modelled", Modelled, at.Select(d => ((double)d, Mean(model, d))));
        Save($"soil-{file}", chart);
    }

    private void ByMonth(string file, string depth, double[] model, double[] truth)
    {
        var days = Enumerable
            .Range(SkipHours, Math.Max(0, truth.Length - SkipHours))
            .Where(i => !double.IsNaN(truth[i]) && !double.IsNaN(model[i]))
            .GroupBy(i => SoilScore.DayOf(run.HourEnd(i), station.Site.LongitudeDeg))
            .Where(g => g.Count() >= 20)
            .Select(g =>
                (
                    g.Key.Month,
                    Bias: g.Average(i => model[i] - truth[i]),
                    ModelSwing: g.Max(i => model[i]) - g.Min(i => model[i]),
                    TruthSwing: g.Max(i => truth[i]) - g.Min(i => truth[i])
                )
            )
            .ToLookup(d => d.Month);
        (double X, double Y)[] Of(
            Func<(int, double Bias, double ModelSwing, double TruthSwing), double> pick
        ) => [.. days.OrderBy(m => m.Key).Select(m => ((double)m.Key, m.Average(pick)))];
        var bias = Of(d => d.Bias);
        var swings = (Model: Of(d => d.ModelSwing), Truth: Of(d => d.TruthSwing));
        var high = swings.Model.Concat(swings.Truth).Max(p => p.Y);
        var chart = new SvgChart(
            $"{name}: soil at {depth} by month",
            "",
            "K",
            (0.4, 12.6),
            (Math.Min(-1, Math.Floor(bias.Min(b => b.Y))), Math.Ceiling(high + 0.5)),
            [.. Months.Select((m, i) => (i + 1.0, m))]
        );
        chart.Bars("modelled less measured, daily mean", Difference, bias, 0.25);
        chart.Line("measured swing of the day", Measured, swings.Truth, 2);
        chart.Line("modelled swing", Modelled, swings.Model, 2);
        Save($"soil-{file}-months", chart);
    }

    private void Deviations(string file, string depth, double[] model, double[] truth)
    {
        var errors = Enumerable
            .Range(SkipHours, truth.Length - SkipHours)
            .Select(i => Math.Abs(model[i] - truth[i]) / run.SoilTemperatureStdDevC[i])
            .Where(e => !double.IsNaN(e))
            .ToList();

        // Normal deviates of central ranges of 20, 40, … per cent.
        (double Percent, double Deviate)[] ranges =
        [
            (20, 0.2533),
            (40, 0.5244),
            (60, 0.8416),
            (80, 1.2816),
            (90, 1.6449),
            (95, 1.96),
            (99, 2.5758),
        ];
        var chart = Coverage($"{name}: ranges of soil at {depth}");
        chart.Dots(
            "found",
            Modelled,
            ranges.Select(r =>
                (r.Percent, 100.0 * errors.Count(e => e <= r.Deviate) / errors.Count)
            ),
            4
        );
        Save($"soil-{file}-reliability", chart);
    }

    private void DryOff()
    {
        if (run.Count <= SkipHours || Array.TrueForAll(measured.WetPercent, double.IsNaN))
        {
            return;
        }

        var pairs = WetScore
            .DewMornings(station.Site, run.Weather, measured.WetPercent, SkipHours)
            .Select(m => (m.Measured, WetScore.DryOff(run.LeafWetnessPercent, m.Start)))
            .Where(p => p.Item2 is not null)
            .Select(p => (p.Measured, p.Item2!.Value))
            .ToList();
        if (pairs.Count == 0)
        {
            return;
        }

        var most = Math.Ceiling(pairs.Max(p => Math.Max(p.Measured, p.Value)));
        var chart = new SvgChart(
            $"{name}: grass dry, {pairs.Count} dew mornings",
            "measured, hours after the sunrise hour",
            "modelled, hours",
            (0, most),
            (0, most),
            [.. SvgChart.Ticks((0, most)).Select(t => (t, $"{t:0.#}"))],
            square: true
        );
        chart.Line("equal", "#888", [(0, 0), (most, most)], 1);
        chart.Dots("mornings", Modelled, pairs);
        Save("dry-off", chart);
    }

    private static SvgChart Coverage(string title)
    {
        var chart = new SvgChart(
            title,
            "stated range [%]",
            "held the truth [%]",
            (0, 100),
            (0, 100),
            [.. SvgChart.Ticks((0, 100)).Select(t => (t, $"{t:0}"))],
            square: true
        );
        chart.Line("as stated", "#888", [(0, 0), (100, 100)], 1);
        return chart;
    }

    private void Save(string what, SvgChart chart) =>
        File.WriteAllText(Path.Combine(folder, $"{name}-{what}.svg"), chart.ToString());
}
