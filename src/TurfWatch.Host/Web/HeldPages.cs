using System.Text.Json;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Join;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>What is held of a person: a file of it, and the way to have it erased.</summary>
internal static partial class HeldPages
{
    private static readonly JsonSerializerOptions Readable = new() { WriteIndented = true };

    public static void MapHeld(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/lawn/{token}/export", PageRoutes.Looking, Export);
        routes.MapMethods("/lawn/{token}/erase", PageRoutes.Looking, AskToErase);
        routes.MapPost("/lawn/{token}/erase", Erase).DisableAntiforgery();
    }

    private static async Task<IResult> Export(
        string token,
        LinkTokens tokens,
        TurfStore store,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        var now = LawnPages.Now(clock);
        if (await LawnPages.Find(token, tokens, store, now, cancel) is not { } owned)
        {
            return Page.NotFound();
        }

        var who = (await store.Subscribers.OfAsync(owned.Subscriber.Id, cancel))!;
        var lawns = new List<object>();
        foreach (var lawn in who.Lawns)
        {
            var record = await store.Journal.LoadAsync(lawn.Id, cancel);
            lawns.Add(
                new
                {
                    lawn.Place.Zip,
                    lawn.Place.ZoneId,
                    Settings = LawnWordsOf.Lawn(lawn),
                    Journal = record.Entries.Select(Line),
                }
            );
        }

        var messages = new List<object>();
        await foreach (var row in store.Outbox.ListAsync(cancel))
        {
            if (row.SubscriberId == who.Subscriber.Id)
            {
                messages.Add(
                    new
                    {
                        Kind = row.Kind.ToString(),
                        row.Key,
                        row.MessageId,
                        NotBefore = row.NotBefore.ToString(),
                    }
                );
            }
        }

        var held = new
        {
            who.Subscriber.Email,
            Status = who.Subscriber.Status.ToString(),
            PausedUntil = owned.PausedUntil?.ToString("uuuu-MM-dd", null),
            Lawns = lawns,
            Messages = messages,
        };
        return Results.File(
            JsonSerializer.SerializeToUtf8Bytes(held, Readable),
            "application/json",
            "lawn.json"
        );
    }

    private static object Line(JournalEntry entry) =>
        new
        {
            Kind = entry.Kind.ToString(),
            Date = entry.Date.ToString("uuuu-MM-dd", null),
            Time = entry.Time?.ToString("HH:mm", null),
            entry.Amount,
            entry.HeightBeforeCm,
            entry.PhosphateGM2,
            entry.PotashGM2,
            Grass = entry.Grass?.ToString(),
        };

    private static async Task<IResult> AskToErase(
        string token,
        LinkTokens tokens,
        TurfStore store,
        TimeProvider clock,
        CancellationToken cancel
    ) =>
        await LawnPages.Find(token, tokens, store, LawnPages.Now(clock), cancel) is null
            ? Page.NotFound()
            : Page.Show(
                StatusCodes.Status200OK,
                "Erase all that is held of you?",
                $"""
                <p>Nothing has changed yet. Press the button and the address, all its lawns and their journals are erased at once, and no more messages are sent. It cannot be taken back.</p>
                <p>Copies in the operator's backups go when the backups do.</p>
                <form method="post" action="/lawn/{Page.Encode(token)}/erase">
                <p><label class="tick"><input type="checkbox" name="never" value="yes"> Never write to this address again, whoever asks. For this a mark is kept from which the address cannot be read.</label></p>
                <p class="send"><button type="submit">Erase all of it</button></p>
                </form>
                <p><a href="/lawn/{Page.Encode(token)}">Back to the lawn's page</a></p>
                """
            );

    private static async Task<IResult> Erase(
        string token,
        HttpContext context,
        LinkTokens tokens,
        TurfStore store,
        JoinDesk joins,
        TimeProvider clock,
        ILoggerFactory logs,
        CancellationToken cancel
    )
    {
        if (
            await LawnPages.Find(token, tokens, store, LawnPages.Now(clock), cancel)
            is not { } owned
        )
        {
            return Page.NotFound();
        }

        var typed = await JoinPages.Typed(context.Request, cancel);
        if (typed.GetValueOrDefault("never", "") == "yes")
        {
            await store.Suppressions.AddAsync(
                joins.HashOf(owned.Subscriber.Email),
                "erased by the owner",
                CancellationToken.None
            );
        }

        await store.Subscribers.RemoveAsync(owned.Subscriber.Id, CancellationToken.None);
        Erased(logs.CreateLogger(typeof(HeldPages)), owned.Subscriber.Id);
        return Page.Told(
            "All of it is erased",
            ["The address, its lawns and their journals are gone. No more messages are sent."]
        );
    }

    [LoggerMessage(LogLevel.Information, "Subscriber {Id} is erased, by the lawn's page")]
    private static partial void Erased(ILogger log, long id);
}
