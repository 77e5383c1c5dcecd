using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail;

/// <summary>Phrases and dates as a message about a lawn would word them, for those who write no message.</summary>
public sealed class PhraseText(Lawn lawn, LocalDate today)
{
    private readonly PhraseFormatter _formatter = new(lawn.Units, lawn.Place.Zone, today);

    /// <summary>The phrase in the lawn's units and zone, on one line.</summary>
    public string Of(Phrase phrase) => _formatter.Text(phrase);

    /// <summary>The date, short; with the year when it is far away.</summary>
    public string Of(LocalDate date) => _formatter.Short(date);

    /// <summary>Windows of the season with their dates and ranges.</summary>
    public IReadOnlyList<WindowText> Of(IReadOnlyList<SeasonWindow> windows) =>
        [
            .. TimelineViewer
                .View(windows, today, _formatter)
                .Windows.Select(w => new WindowText(
                    w.Name,
                    w.Standing,
                    [
                        .. w.Dates.Select(d =>
                            $"{d.Label} {d.Date}{(d.Range.Length > 0 ? $" ({d.Range})" : "")}"
                        ),
                    ],
                    w.Reason
                )),
        ];
}

/// <summary>A window of the season in words.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Standing">Where it stands today.</param>
/// <param name="Dates">Its dates; those in brackets hold in eight of ten years.</param>
/// <param name="Reason">Why then, or why not; may be empty.</param>
public sealed record WindowText(
    string Name,
    string Standing,
    IReadOnlyList<string> Dates,
    string Reason
);
