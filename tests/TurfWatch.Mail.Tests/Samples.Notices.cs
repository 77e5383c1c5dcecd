using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public static partial class Samples
{
    public static IReadOnlyDictionary<string, Notice> Notices { get; } =
        new Dictionary<string, Notice>(StringComparer.Ordinal)
        {
            ["receipt"] = MowedReceipt(),
            ["confirmation"] = ConfirmationNotice(),
        };

    /// <summary>What an owner gets who wrote "mowed 2 in".</summary>
    public static Notice MowedReceipt() =>
        new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = At(7),
            Zone = Town.Zone,
            Subject = Phrase.Of($"Mowed on Friday: noted"),
            Paragraphs =
            [
                Phrase.Of(
                    $"Mowed {Date} at {new Quantity(QuantityKind.GrassHeight, 5.08)}: it is in the journal of the back lawn."
                ),
                Phrase.Of($"The next mowing falls due about {Date.PlusDays(6)}."),
            ],
            Links =
            [
                new(Phrase.Of($"That was a mistake: take it back"), LinkPurpose.Undo, 77),
                new(Phrase.Of($"See the page of this lawn"), LinkPurpose.LawnPage, 12),
            ],
            LawnId = 12,
            InReplyTo = "q1@mail.example.net",
        };

    /// <summary>What an address gets that was given at the door.</summary>
    public static Notice ConfirmationNotice() =>
        new()
        {
            Kind = MessageKind.Confirmation,
            MadeAt = At(7),
            Zone = Town.Zone,
            Subject = Phrase.Of($"Please confirm: messages about your lawn"),
            Paragraphs =
            [
                Phrase.Of(
                    $"You are not on the list yet. To get a message each morning on whether and when to mow, press the button, or answer this message with the word yes."
                ),
                Phrase.Of($"The request is good for three days."),
            ],
            Links = [new(Phrase.Of($"Yes, write to me"), LinkPurpose.Confirm, 41)],
        };
}
