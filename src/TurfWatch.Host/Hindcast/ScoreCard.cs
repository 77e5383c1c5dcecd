using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>Scores a run against what the station measured, beside what simple rules reach on the same days.</summary>
internal sealed class ScoreCard(
    Station station,
    SiteConditions run,
    MeasuredColumns measured,
    TextWriter output
)
{
    private const int SkipHours = 60 * 24;
    private const double HumidRulePercent = 90;

    // Days in each half before a rule is fitted on one and tried on the other.
    private const int FewestToFit = 180;

    private static readonly (string Name, double C, bool Rising, int From, int Until)[] Dates =
    [
        ("spring 12.8 °C", 12.8, true, 1, 6),
        ("spring 18.3 °C", 18.3, true, 1, 7),
        ("autumn 21.1 °C", 21.1, false, 8, 12),
        ("autumn 12.8 °C", 12.8, false, 8, 12),
    ];

    public void Write(string name)
    {
        output.WriteLine($"{name}: {run.Count} hours, the first 60 days left out");
        Soil("soil 5 cm", run.SoilTemperature5CmC, measured.Soil5C);
        Soil("soil 10 cm", run.SoilTemperature10CmC, measured.Soil10C);
        Wetness();
    }

    private void Soil(string name, double[] model, double[] truth)
    {
        var longitude = station.Site.LongitudeDeg;
        var first = run.FirstHourEnd;
        var truthDaily = SoilScore.Daily(first, truth, longitude, SkipHours);
        if (truthDaily.Count == 0)
        {
            return;
        }

        var modelDaily = SoilScore.Daily(first, model, longitude, SkipHours);
        var air = SoilScore.SevenDayMean(
            SoilScore.Daily(first, run.Weather[WeatherColumn.AirTemperatureC], longitude)
        );
        Line(
            $"{name} hourly",
            ErrorSummary.Of(model.Zip(truth, (m, t) => (m, t)).Skip(SkipHours)).ToString()
        );
        Line(
            $"{name} daily",
            ErrorSummary.Of(SoilScore.Pairs(modelDaily, truthDaily, air)).ToString(),
            $"7-day air mean: {ErrorSummary.Of(SoilScore.Pairs(air, truthDaily, modelDaily))}"
        );
        Fitted(name, modelDaily, truthDaily, air);
        foreach (var (label, threshold, rising, from, until) in Dates)
        {
            var measuredDates = SoilScore.Crossings(truthDaily, threshold, rising, from, until);
            var modelDates = SoilScore.Crossings(modelDaily, threshold, rising, from, until);
            if (measuredDates.Keys.Any(modelDates.ContainsKey))
            {
                Line(
                    $"{name} {label}",
                    DaysOff(modelDates, measuredDates),
                    $"7-day air mean: {DaysOff(SoilScore.Crossings(air, threshold, rising, from, until), measuredDates)}"
                );
            }
        }

        Reliability(name, model, truth);
    }

    private void Fitted(
        string name,
        SortedDictionary<LocalDate, double> model,
        SortedDictionary<LocalDate, double> truth,
        SortedDictionary<LocalDate, double> air
    )
    {
        var days = truth.Keys.Where(d => air.ContainsKey(d) && model.ContainsKey(d)).ToList();
        var half = days.Count / 2;
        if (half <= FewestToFit)
        {
            return;
        }

        var meanX = days.Take(half).Average(d => air[d]);
        var meanY = days.Take(half).Average(d => truth[d]);
        var slope =
            days.Take(half).Sum(d => (air[d] - meanX) * (truth[d] - meanY))
            / days.Take(half).Sum(d => (air[d] - meanX) * (air[d] - meanX));
        Line(
            $"{name} daily, 2nd half",
            ErrorSummary.Of(days.Skip(half).Select(d => (model[d], truth[d]))).ToString(),
            $"air mean fitted on the 1st half: {ErrorSummary.Of(days.Skip(half).Select(d => (meanY + (slope * (air[d] - meanX)), truth[d])))}"
        );
    }

    private void Reliability(string name, double[] model, double[] truth)
    {
        int one = 0,
            two = 0,
            all = 0;
        for (var i = SkipHours; i < truth.Length; i++)
        {
            var error = Math.Abs(model[i] - truth[i]);
            if (!double.IsNaN(error))
            {
                all++;
                one += error <= run.SoilTemperatureStdDevC[i] ? 1 : 0;
                two += error <= 2 * run.SoilTemperatureStdDevC[i] ? 1 : 0;
            }
        }

        Line(
            $"{name} within 1 and 2 stated deviations",
            string.Create(
                CultureInfo.InvariantCulture,
                $"{100.0 * one / all:F0} % and {100.0 * two / all:F0} % of hours"
            ),
            "normal errors: 68 % and 95 %"
        );
    }

    private void Wetness()
    {
        var truth = measured.WetPercent;
        if (run.Count <= SkipHours || Array.TrueForAll(truth, double.IsNaN))
        {
            return;
        }

        var humidity = run.Weather[WeatherColumn.RelativeHumidityPercent];
        var rule = new double[run.Count];
        for (var i = 0; i < rule.Length; i++)
        {
            rule[i] =
                double.IsNaN(humidity[i]) ? double.NaN
                : humidity[i] >= HumidRulePercent ? 100
                : 0;
        }

        Line("wet hours right", Hours(run.LeafWetnessPercent), $"RH >= 90 %: {Hours(rule)}");
        var mornings = WetScore.DewMornings(station.Site, run.Weather, truth, SkipHours);
        Line(
            $"dew mornings called wet, of {mornings.Count}",
            DryOffs(run.LeafWetnessPercent),
            $"RH >= 90 %: {DryOffs(rule)}"
        );

        string Hours(double[] model)
        {
            var (right, found, wrong) = WetScore.Hours(model, truth, SkipHours);
            return string.Create(
                CultureInfo.InvariantCulture,
                $"{right:F3} (found {found:F2}, false alarms {wrong:F2})"
            );
        }

        string DryOffs(double[] model)
        {
            var pairs = mornings
                .Select(m => (WetScore.DryOff(model, m.Start), m.Measured))
                .Where(p => p.Item1 is not null)
                .Select(p => (p.Item1!.Value, p.Measured))
                .ToList();
            return pairs.Count == 0
                ? "0"
                : string.Create(
                    CultureInfo.InvariantCulture,
                    $"{pairs.Count}; dry-off MAE {pairs.Average(p => Math.Abs(p.Value - p.Measured)):F2} h, bias {pairs.Average(p => p.Value - p.Measured):+0.00;-0.00} h"
                );
        }
    }

    private static string DaysOff(
        Dictionary<int, LocalDate> model,
        Dictionary<int, LocalDate> measured
    )
    {
        var days = measured
            .Where(m => model.ContainsKey(m.Key))
            .Select(m => Period.DaysBetween(m.Value, model[m.Key]))
            .ToList();
        return days.Count == 0
            ? "no date"
            : string.Create(
                CultureInfo.InvariantCulture,
                $"MAE {days.Average(d => Math.Abs(d)):F1} d, bias {days.Average():+0.0;-0.0} d, {days.Count} of {measured.Count} years"
            );
    }

    private void Line(string what, string model, string rule = "") =>
        output.WriteLine($"  {what, -46} {model, -54} {rule}".TrimEnd());
}
