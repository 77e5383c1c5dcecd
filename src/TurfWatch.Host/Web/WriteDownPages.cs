using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Host.Answers;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>
/// The links of messages that write down what was advised. Looking changes nothing; the page says the line as it will
/// be written, and one button writes it, once, for the day of the message unless another is chosen.
/// </summary>
internal static class WriteDownPages
{
    private const int NearDays = 7;

    private static readonly Duration UndoWithin = LinkPaths.Lifetime(LinkPurpose.Undo);

    public static void MapWriteDown(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/done/{token}", PageRoutes.Looking, Ask);
        routes.MapPost("/done/{token}", Write).DisableAntiforgery();
    }

    private static async Task<IResult> Ask(
        string token,
        string? day,
        LinkTokens tokens,
        TurfStore store,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (await FindAsync(token, day, tokens, store, clock, cancel) is not { } line)
        {
            return Page.NotFound();
        }

        var record = await store.Journal.LoadAsync(line.Owned.Lawn.Id, cancel);
        if (line.Same(record) is { } there)
        {
            return Already(line, there);
        }

        var near = line.Near(record) is { } entry
            ? $"<p><strong>The journal has already:</strong> {Page.Encode(line.InWords(entry))}</p>"
            : "";
        return Page.Show(
            StatusCodes.Status200OK,
            "Write this down?",
            $"""
            <p>Nothing has changed yet. Press the button, and the journal of {Page.Encode(
                line.Owned.Lawn.Name
            )} gets this line:</p>
            <p class="verdict">{Page.Encode(line.InWords(line.Entry))}</p>
            {near}
            <form method="post" action="/done/{Page.Encode(token)}?day={line.Day:uuuu-MM-dd}"><button type="submit">Write it down</button></form>
            <p class="soft">{Page.Encode(Assumed(line.Offer))}</p>
            {OtherDays(line)}
            """
        );
    }

    private static async Task<IResult> Write(
        string token,
        string? day,
        LinkTokens tokens,
        TurfStore store,
        AnswerDesk desk,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (await FindAsync(token, day, tokens, store, clock, cancel) is not { } line)
        {
            return Page.NotFound();
        }

        var record = await store.Journal.LoadAsync(line.Owned.Lawn.Id, cancel);
        if (line.Same(record) is { } there)
        {
            return Already(line, there);
        }

        var deed = await desk.WriteDownAsync(
            line.Offer,
            line.Owned,
            line.Day,
            CancellationToken.None
        );
        return deed is { } id
            ? Page.Told(
                "Written down",
                [line.InWords(line.Entry), "A receipt goes to the address of the lawn's owner."],
                (
                    $"/undo/{tokens.Issue(LinkPurpose.Undo, id, line.Now + UndoWithin)}",
                    "Take this back"
                )
            )
            : Page.Told(
                "This link has been used",
                [
                    "What it offers was written down before, and was changed or taken back since. To write it once more, answer the message.",
                ]
            );
    }

    private static async Task<Line?> FindAsync(
        string token,
        string? day,
        LinkTokens tokens,
        TurfStore store,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        var now = LawnPages.Now(clock);
        if (
            tokens.ReadOffer(token, now) is not var (offer, lawnId)
            || await store.Lawns.FindAsync(lawnId, cancel) is not { } owned
        )
        {
            return null;
        }

        var today = now.InZone(owned.Lawn.Place.Zone).Date;
        var chosen =
            day is null ? offer.Date
            : LocalDatePattern.Iso.Parse(day).TryGetValue(default, out var date) ? date
            : (LocalDate?)null;
        return chosen >= offer.Date && chosen <= LocalDate.Max(today, offer.Date)
            ? new(offer, owned, chosen.Value, today, now)
            : null;
    }

    private static IResult Already(Line line, JournalEntry entry) =>
        Page.Told(
            "It is written down",
            [
                $"The journal of {line.Owned.Lawn.Name} has for that day: {line.InWords(entry)}",
                "To change it, answer the message, or use your lawn's page.",
            ]
        );

    private static string Assumed(DeedOffer offer) =>
        offer.Kind switch
        {
            JournalKind.Mowed =>
                "The height is the one this lawn was to be cut at. If you cut it at another, answer the message instead, for example: mowed 2 in.",
            JournalKind.Fed when offer.Grade is { } grade =>
                $"That is what the message advised, with your {grade.Text}. If you gave something else, answer the message instead, for example: fed 5 lb 21-0-0.",
            JournalKind.Fed =>
                "That is what the message advised. If you gave something else, answer the message instead, for example: fed 5 lb 21-0-0.",
            JournalKind.MowingSkipped =>
                $"The messages then say so and do not ask for it again for {SkippedRule.Days} days, unless you mow before.",
            JournalKind.Watered =>
                "That is the depth that the message advised, for one watering. If you gave another, or watered again, answer the message instead, for example: watered 0.5 in, or: watered 20 min.",
            _ =>
                "That is what the message advised. If you sowed something else, answer the message instead, for example: seeded 10 lb annual rye.",
        };

    private static string OtherDays(Line line)
    {
        if (line.Today <= line.Offer.Date)
        {
            return "";
        }

        var say = new PhraseText(line.Owned.Lawn, line.Today);
        var days = Enumerable
            .Range(0, Period.DaysBetween(line.Offer.Date, line.Today) + 1)
            .Select(line.Offer.Date.PlusDays)
            .Where(d => d != line.Day)
            .Select(d =>
                $"<li><a href=\"?day={d:uuuu-MM-dd}\">{Page.Encode(say.Of(Phrase.Of($"{d}")))}</a></li>"
            );
        var said =
            line.Day == line.Offer.Date
                ? Phrase.Of(
                    $"The message is of {line.Offer.Date}, and so is the line. Was it another day?"
                )
                : Phrase.Of(
                    $"The message is of {line.Offer.Date}, the line for {line.Day}. Was it another day?"
                );
        return $"""
            <p>{Page.Encode(say.Of(said))}</p>
            <ul class="days">{string.Concat(days)}</ul>
            """;
    }

    /// <summary>An offer with the day it is to be written down for.</summary>
    private sealed record Line(
        DeedOffer Offer,
        OwnedLawn Owned,
        LocalDate Day,
        LocalDate Today,
        Instant Now
    )
    {
        /// <summary>The line as it will stand in the journal.</summary>
        public JournalEntry Entry =>
            AnswerEffect.Of([AnswerDesk.Said(Offer, Day)], Owned.Lawn, Day, null).Adds[0];

        public string InWords(JournalEntry entry) =>
            new PhraseText(Owned.Lawn, Today).Of(JournalOf.InWords(entry));

        /// <summary>A line of the same kind and day.</summary>
        public JournalEntry? Same(LawnRecord record) =>
            record.Entries.FirstOrDefault(e => e.Kind == Offer.Kind && e.Date == Day);

        /// <summary>A feeding or sowing of the days around it, which may be the one that is meant.</summary>
        public JournalEntry? Near(LawnRecord record) =>
            Offer.Kind == JournalKind.Mowed
                ? null
                : record.Entries.LastOrDefault(e =>
                    e.Kind == Offer.Kind && Math.Abs(Period.DaysBetween(e.Date, Day)) <= NearDays
                );
    }
}
