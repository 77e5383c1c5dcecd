using TurfWatch.Host.People;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>What is held of a person: files of it, and the way to have it erased.</summary>
internal static class HeldPages
{
    public static void MapHeld(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/lawn/{token}/export", PageRoutes.Looking, Export).NeedsFreshLink();
        routes
            .MapMethods("/lawn/{token}/journal.csv", PageRoutes.Looking, JournalTable)
            .NeedsFreshLink();
        routes.MapMethods("/lawn/{token}/erase", PageRoutes.Looking, AskToErase).NeedsFreshLink();
        routes.MapPost("/lawn/{token}/erase", Erase).DisableAntiforgery().NeedsFreshLink();
    }

    private static async Task<IResult> Export(LawnLink link, PersonalData data)
    {
        return await Files(link, data) is { } files
            ? Results.File(files.Json(), "application/json", "lawn.json")
            : Page.NotFound();
    }

    private static async Task<IResult> JournalTable(LawnLink link, PersonalData data) =>
        await Files(link, data) is { } files
            ? Results.File(files.JournalCsv(), "text/csv", "journal.csv")
            : Page.NotFound();

    private static async Task<PersonalFiles?> Files(LawnLink link, PersonalData data) =>
        await link.OwnedAsync() is { } owned
            ? await data.GatherAsync(owned.Subscriber.Id, link.Cancel)
            : null;

    private static async Task<IResult> AskToErase(LawnLink link) =>
        await link.OwnedAsync() is null
            ? Page.NotFound()
            : Page.Show(
                StatusCodes.Status200OK,
                "Erase all that is held of you?",
                $"""
                <p>Nothing has changed yet. Press the button and the address, all its lawns and their journals are erased at once, and no more messages are sent. It cannot be taken back.</p>
                <p>Copies in the operator's backups go when the backups do.</p>
                <form method="post" action="/lawn/{Page.Encode(link.Token)}/erase">
                <p><label class="tick"><input type="checkbox" name="never" value="yes"> Never write to this address again, whoever asks. For this a mark is kept from which the address cannot be read.</label></p>
                <p class="send"><button type="submit">Erase all of it</button></p>
                </form>
                <p><a href="/lawn/{Page.Encode(link.Token)}">Back to the lawn's page</a></p>
                """
            );

    private static async Task<IResult> Erase(LawnLink link, PersonalData data)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return Page.NotFound();
        }

        var typed = await JoinPages.Typed(link.Context.Request, link.Cancel);
        await data.EraseAsync(
            owned.Subscriber.Id,
            typed.GetValueOrDefault("never", "") == "yes",
            "the owner",
            link.Cancel
        );
        ServiceMeter.Left("page");
        return Page.Told(
            "All of it is erased",
            ["The address, its lawns and their journals are gone. No more messages are sent."]
        );
    }
}
