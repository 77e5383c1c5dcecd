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
}
