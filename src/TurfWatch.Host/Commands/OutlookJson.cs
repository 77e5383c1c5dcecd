using System.Text.Encodings.Web;
using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Mail;

namespace TurfWatch.Host.Commands;

/// <summary>The outlook for programs. Sentences are in the lawn's units.</summary>
internal static class OutlookJson
{
    private static readonly JsonSerializerOptions Options = new()
    {
        WriteIndented = true,
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public static string Write(LawnYear year, IEnumerable<SeasonWindow> windows)
    {
        var say = new PhraseText(year.Lawn, year.Date);
        return JsonSerializer.Serialize(
            new
            {
                year.Lawn.Place.Zip,
                Date = Iso(year.Date),
                Basis = Words.Kebab(year.Outlook.Basis.ToString()),
                PastYears = year.Outlook.Traces.Length,
                year.Outlook.ForecastDays,
                Windows = windows.Select(w => new
                {
                    w.Key,
                    Grass = Words.Kebab(w.Grass.ToString()),
                    Name = say.Of(w.Name),
                    Standing = Words.Kebab(w.Standing.ToString()),
                    Opens = Spread(w.Opens),
                    Closes = Spread(w.Closes),
                    Best = Spread(w.Best),
                    Steps = w.Steps.Select(say.Of),
                    Amounts = w.Amounts.Select(say.Of),
                    Why = w.Why.Select(f => new
                    {
                        f.Rule,
                        Text = say.Of(f.Text),
                        Evidence = say.Of(f.Evidence),
                        Threshold = say.Of(f.Threshold),
                        f.Source,
                    }),
                    Cautions = w.Cautions.Select(say.Of),
                }),
                Data = year.Weather.Notes.Select(n => new
                {
                    Subject = Words.Kebab(n.Subject.ToString()),
                    Source = n.SourceName,
                    Time = n.DataTime?.ToString(),
                    Standing = Words.Kebab(n.Standing.ToString()),
                    Day = Iso(n.Day),
                    n.Reason,
                }),
            },
            Options
        );
    }

    private static object? Spread(DateSpread? dates) =>
        dates is null
            ? null
            : new
            {
                Earliest = Iso(dates.Earliest),
                Median = Iso(dates.Median),
                Latest = Iso(dates.Latest),
                dates.Courses,
                dates.Without,
            };

    private static string? Iso(LocalDate? date) => date is { } d ? $"{d:uuuu-MM-dd}" : null;
}
