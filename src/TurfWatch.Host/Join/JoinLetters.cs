using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Store;

namespace TurfWatch.Host.Join;

/// <summary>The letters about joining. The request to confirm holds nothing that anybody typed.</summary>
internal static class JoinLetters
{
    private static readonly Phrase Example = Phrase.Of(
        $"Write it in one line, with what else you like to tell, for example: 85719 bermuda with rye, 3000 sq ft."
    );

    public static Notice PleaseConfirm(SubscriberLawns who, Instant now, bool answers) =>
        new()
        {
            Kind = MessageKind.Confirmation,
            MadeAt = now,
            Zone = who.Lawns[0].Place.Zone,
            Subject = Phrase.Of($"Please confirm: lawn messages to this address?"),
            Paragraphs =
            [
                Phrase.Of(
                    $"You are not on the list yet. Someone, most likely you, asked for TurfWatch's lawn messages to be sent to this address."
                ),
                answers
                    ? Phrase.Of(
                        $"If you want them, use the link below and press its button, or answer this message with one word: yes."
                    )
                    : Phrase.Of($"If you want them, use the link below and press its button."),
                Phrase.Of(
                    $"If you do not, there is nothing to do: you will hear no more, and the request is forgotten within days."
                ),
            ],
            Links =
            [
                new(
                    Phrase.Of($"Yes, send me the lawn messages"),
                    LinkPurpose.Confirm,
                    who.Subscriber.Id
                ),
            ],
        };

    public static Notice WhichZip(Instant now, string? inReplyTo) =>
        new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = DateTimeZone.Utc,
            InReplyTo = inReplyTo,
            Subject = Phrase.Of($"Which ZIP code is your lawn in?"),
            Paragraphs =
            [
                Phrase.Of(
                    $"You are not on the list yet: your message named no ZIP code of the United States that we know, and the weather of your lawn goes by it."
                ),
                Phrase.Of($"Answer with the five digits. {Example}"),
                Phrase.Of($"If you did not write to us, there is nothing to do."),
            ],
        };

    public static Notice OnTheListAlready(
        SubscriberLawns who,
        Instant now,
        string? inReplyTo,
        bool answers
    ) =>
        new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = Zone(who),
            Units = Units(who),
            InReplyTo = inReplyTo,
            LawnId = who.Lawns.IsEmpty ? null : who.Lawns[0].Id,
            Subject = Phrase.Of($"You are on the list already"),
            Paragraphs =
            [
                Phrase.Of(
                    $"Someone, most likely you, asked for the lawn messages to be sent to this address. They are sent to it already; nothing was changed."
                ),
                .. answers
                    ?
                    [
                        Phrase.Of(
                            $"To change what is set, answer with: settings. To leave, answer with: stop."
                        ),
                        Phrase.Of(
                            $"To tell what you did, or to add another lawn, answer this message with it, for example: mowed 2 in; add 40502 tall fescue."
                        ),
                    ]
                    : new[]
                    {
                        Phrase.Of(
                            $"What is set, and what you did, you tell on your lawn's page, linked below. To leave, use the link at the foot."
                        ),
                    },
            ],
            Links = who.Lawns.IsEmpty
                ? []
                : [new(Phrase.Of($"See your lawn's page"), LinkPurpose.LawnPage, who.Lawns[0].Id)],
        };

    public static Notice Welcome(SubscriberLawns who, Instant now, string? inReplyTo, bool answers)
    {
        var lawn = who.Lawns[0];
        return new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = lawn.Place.Zone,
            Units = lawn.Units,
            InReplyTo = inReplyTo,
            LawnId = lawn.Id,
            Subject = Phrase.Of($"You are on the list; here is what we assume"),
            Paragraphs =
            [
                Phrase.Of(
                    $"Each morning at {lawn.MessageTime}, by the clock of {lawn.Place.ZoneId}, you will read whether and when to mow, and as the season turns, what it is time for."
                ),
                Phrase.Of($"We assume: {Assumed(lawn)}."),
                .. answers
                    ?
                    [
                        Phrase.Of(
                            $"What is wrong you set right by answering, one thing a line, for example: set grass tall fescue, set area 3000 sq ft, set height 2.5 in, set time 6:00."
                        ),
                        Phrase.Of(
                            $"What you do, tell us the same way: mowed 2 in; fed 5 lb 21-0-0; watered 20 min; soil 61. Then growth, feeding and water are reckoned for your own lawn."
                        ),
                    ]
                    : new[]
                    {
                        Phrase.Of(
                            $"What is wrong you set right on your lawn's page, linked below. What you do, write down there too: then growth, feeding and water are reckoned for your own lawn."
                        ),
                    },
            ],
            Links =
            [
                new(Phrase.Of($"See and change your lawn's page"), LinkPurpose.LawnPage, lawn.Id),
            ],
        };
    }

    private static Phrase Assumed(Lawn lawn)
    {
        var grass = lawn.Overseed is { } over
            ? $"{Grasses.Of(lawn.Grass).Name} with {Grasses.Of(over).Name} in winter"
            : Grasses.Of(lawn.Grass).Name;
        var soil = lawn.Soil.ToString().ToLowerInvariant();
        return lawn.AreaM2 is { } area
            ? Phrase.Of(
                $"{lawn.Place.Name}, {lawn.Place.State}, {grass}, {new Quantity(QuantityKind.Area, area)}, {soil} soil, {(lawn.Irrigated ? "watered" : "not watered")}"
            )
            : Phrase.Of(
                $"{lawn.Place.Name}, {lawn.Place.State}, {grass}, area not known, {soil} soil, {(lawn.Irrigated ? "watered" : "not watered")}"
            );
    }

    private static DateTimeZone Zone(SubscriberLawns who) =>
        who.Lawns.IsEmpty ? DateTimeZone.Utc : who.Lawns[0].Place.Zone;

    private static UnitSystem Units(SubscriberLawns who) =>
        who.Lawns.IsEmpty ? UnitSystem.UsCustomary : who.Lawns[0].Units;
}
