using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Answers;

/// <content>Answers given by a button on the page that a message's link opens, instead of by mail.</content>
internal sealed partial class AnswerDesk
{
    /// <summary>What an offer says, as if its reader had answered it.</summary>
    /// <param name="day">The local day on which it was done.</param>
    public static Did Said(DeedOffer offer, LocalDate day) =>
        offer switch
        {
            { Grade: { } grade, Amount: { } nitrogen } => new(offer.Kind, day)
            {
                Grade = grade,
                ProductGM2 = nitrogen / grade.NitrogenPercent * 100,
            },
            _ => new(offer.Kind, day) { Amount = offer.Amount, Grass = offer.Grass },
        };

    /// <summary>
    /// Writes an offer down, once, with the same receipt as an answer by mail gets: the message may have been passed on,
    /// and the lawn's owner is to know. Null when it was written down before.
    /// </summary>
    public async Task<long?> WriteDownAsync(
        DeedOffer offer,
        OwnedLawn owned,
        LocalDate day,
        CancellationToken cancel
    )
    {
        var now = Now();
        var effect = AnswerEffect.Of([Said(offer, day)], owned.Lawn, day, null);
        var deedId = Deed.IdOf(
            FormattableString.Invariant(
                $"write down\n{owned.Lawn.Id}\n{offer.Kind}\n{offer.Date:uuuu-MM-dd}\n{offer.Amount:R}\n{offer.Grade?.Text}\n{offer.Grass}"
            )
        );
        var letters =
            await ReceiptsAsync(owned, now, cancel) < ReceiptsADay
                ? new[]
                {
                    Compose(
                        AnswerLetters.Receipt(effect, owned, deedId, now, null),
                        owned.Subscriber,
                        deedId
                    ),
                }
                : [];
        return await store.Deeds.DoAsync(
            effect.DeedFor(deedId, owned) with
            {
                Messages = [.. letters],
            },
            cancel
        )
            ? deedId
            : null;
    }

    private Task<int> ReceiptsAsync(OwnedLawn owned, Instant now, CancellationToken cancel) =>
        store.Outbox.CountSinceAsync(
            owned.Subscriber.Id,
            MessageKind.Receipt,
            now - Duration.FromHours(24),
            cancel
        );
}
