using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>A phrase as one line of plain text, for the command line.</summary>
public static class PhraseText
{
    /// <summary>The phrase in a reader's units; clock times are UTC, so give it phrases without any.</summary>
    /// <param name="phrase">The phrase.</param>
    /// <param name="units">The reader's units.</param>
    /// <param name="today">The day it is read on; other days are named.</param>
    public static string Of(Phrase phrase, UnitSystem units, LocalDate today) =>
        new PhraseFormatter(units, DateTimeZone.Utc, today)
            .Text(phrase)
            .Replace(PlainText.NoBreak, ' ');
}
