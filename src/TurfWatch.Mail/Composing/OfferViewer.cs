using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Mail.Composing;

/// <summary>What a message offers to write down, as links in the reader's words.</summary>
internal static class OfferViewer
{
    public static IReadOnlyList<LinkView> View(
        IEnumerable<DeedOffer> offers,
        PhraseFormatter say,
        Func<DeedOffer, string?> linkTo
    ) =>
        [
            .. offers
                .Select(o => (Label: Label(o), Address: linkTo(o)))
                .Where(o => o.Address is not null)
                .Select(o => new LinkView(say.Text(o.Label), o.Address!)),
        ];

    private static Phrase Label(DeedOffer offer) =>
        (offer.Kind, offer.Amount) switch
        {
            (JournalKind.Mowed, { } cm) => Phrase.Of($"I mowed today, at {Quantity.CutCm(cm)}"),
            (JournalKind.Mowed, _) => Phrase.Of($"I mowed today"),
            (JournalKind.MowingSkipped, _) => Phrase.Of($"I skip this mowing"),
            (JournalKind.Watered, { } mm) => Phrase.Of(
                $"I watered it as advised: {Quantity.WaterMm(mm)}"
            ),
            (JournalKind.Fed, { } rate) when offer.Grade is { } grade => Phrase.Of(
                $"I fed it as advised: {new Quantity(QuantityKind.AreaRate, rate)} of nitrogen, with {grade.Text}"
            ),
            (JournalKind.Fed, { } rate) => Phrase.Of(
                $"I fed it as advised: {new Quantity(QuantityKind.AreaRate, rate)} of nitrogen"
            ),
            (JournalKind.Seeded, { } rate) when offer.Grass is { } grass => Phrase.Of(
                $"I sowed the {Grasses.Of(grass).Name} as advised: {new Quantity(QuantityKind.AreaRate, rate)}"
            ),
            _ => throw new ArgumentOutOfRangeException(
                nameof(offer),
                offer,
                "give this kind of offer words of its own"
            ),
        };
}
