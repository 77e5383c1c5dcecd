using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.People;

/// <summary>
/// All that is held of a person, gathered or erased: the one way for the lawn's page and for the operator's commands.
/// </summary>
internal sealed partial class PersonalData(
    TurfStore store,
    LinkTokens tokens,
    MailRoute route,
    TimeProvider clock,
    ILogger<PersonalData> log
)
{
    /// <summary>All of it, as files; null when there is no such subscriber.</summary>
    public async Task<PersonalFiles?> GatherAsync(long subscriberId, CancellationToken cancel) =>
        await DossierAsync(subscriberId, cancel) is { } dossier
            ? new(dossier, Instant.FromDateTimeOffset(clock.GetUtcNow()))
            : null;

    /// <summary>All of it; null when there is no such subscriber.</summary>
    public async Task<Dossier?> DossierAsync(long subscriberId, CancellationToken cancel)
    {
        if (await store.Subscribers.OfAsync(subscriberId, cancel) is not { } who)
        {
            return null;
        }

        var (asked, marked) = Hashes(who.Subscriber.Email);
        return await store.Dossiers.OfAsync(subscriberId, asked, marked, cancel);
    }

    /// <summary>Whether a mark is kept that the address must never be written to.</summary>
    public Task<bool> IsMarkedAsync(string email, CancellationToken cancel) =>
        store.Suppressions.HoldsAsync(Hashes(email).Marked, cancel);

    /// <summary>Erases all of it; false when there is no such subscriber.</summary>
    /// <param name="never">Keep a mark, from which the address cannot be read, so that it is never written to again.</param>
    /// <param name="by">Who asked for it, for the log and the mark: "the owner", "the operator".</param>
    public async Task<bool> EraseAsync(
        long subscriberId,
        bool never,
        string by,
        CancellationToken cancel
    )
    {
        if (await DossierAsync(subscriberId, cancel) is not { } held)
        {
            return false;
        }

        var (asked, marked) = Hashes(held.Subscriber.Email);
        // Begun is done: half an erasure would be worse than none.
        var erased = await store.Dossiers.EraseAsync(
            subscriberId,
            asked,
            marked,
            never ? $"erased by {by}" : null,
            CancellationToken.None
        );
        if (erased)
        {
            // Without a relay the messages are files; they are found by what the rows still say of them.
            FolderTransport.Forget(route.Folder, held.Messages);
            Erased(log, subscriberId, by);
        }

        return erased;
    }

    private (byte[] Asked, byte[] Marked) Hashes(string email) =>
        (
            Convert.FromHexString(tokens.AddressHash(AddressRule.WithoutTag(email))),
            Convert.FromHexString(tokens.AddressHash(email))
        );

    [LoggerMessage(LogLevel.Information, "Subscriber {Id} is erased, by {By}")]
    private static partial void Erased(ILogger log, long id, string by);
}
