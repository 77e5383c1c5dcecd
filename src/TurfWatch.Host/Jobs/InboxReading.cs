using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Telemetry;
using TurfWatch.Host.Web;
using TurfWatch.Mail.Reading;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Reads the mailbox for as long as the service runs, one worker at a time: each message is dealt with once, a bad one costs the others
/// nothing, and a mailbox that is away is tried again.
/// </summary>
internal sealed partial class InboxReading(
    ImapMailbox mailbox,
    InboxOptions options,
    TurfStore store,
    AnswerDesk desk,
    HealthBoard health,
    TimeProvider clock,
    ILogger<InboxReading> log
) : BackgroundService
{
    private const int Tries = 3;

    private const string Lease = "inbox";

    /// <summary>The sentence on a mailbox that is away that the log has already.</summary>
    private string? _told;

    protected override Task ExecuteAsync(CancellationToken stoppingToken) =>
        new HeldWork(Lease, store, clock, log).RunAsync(
            async held =>
            {
                await ReadOnAsync(held);
                // What troubled this worker is the next one's to find out.
                health.Well(HealthAreas.Inbox);
            },
            stoppingToken
        );

    /// <summary>Reads for as long as this worker is the one that does.</summary>
    private async Task ReadOnAsync(CancellationToken cancel)
    {
        while (!cancel.IsCancellationRequested)
        {
            try
            {
                await ReadAsync(cancel);
                if (mailbox.Down is { } why)
                {
                    health.Trouble(HealthAreas.Inbox, why);
                    if (!string.Equals(why, _told, StringComparison.Ordinal))
                    {
                        Away(log, why);
                    }

                    _told = why;
                }
                else
                {
                    health.Well(HealthAreas.Inbox);
                    _told = null;
                }

                await mailbox.WaitAsync(options.PollEvery, cancel);
            }
            catch (OperationCanceledException) when (cancel.IsCancellationRequested)
            {
                return;
            }
            catch (MailboxException e)
            {
                health.Trouble(HealthAreas.Inbox, e.Message);
                Away(log, e.Message);
                _told = e.Message;
                await Task.Delay(options.PollEvery, cancel);
            }
            catch (Exception e)
            {
                // Whatever it is, answers that wait a minute are better than answers that are never read again.
                health.Trouble(HealthAreas.Inbox, $"a defect showed: {e.Message}");
                Broken(log, e);
                await Task.Delay(options.PollEvery, cancel);
            }
        }
    }

    internal async Task ReadAsync(CancellationToken cancel)
    {
        await foreach (var (position, mail) in mailbox.NewAsync(cancel))
        {
            var place = new MailboxPlace(
                $"{options.Username}/{options.Folder}",
                position.Validity,
                position.Uid
            );
            var key = KeyOf(mail);
            if (await store.Inbound.SeenAsync(place, key, cancel))
            {
                await mailbox.SettleAsync(position, understood: true, cancel);
                ServiceMeter.Read("again");
                continue;
            }

            var (outcome, understood) = await DealAsync(mail, cancel);
            await store.Inbound.RecordAsync(place, key, outcome, cancel);
            await mailbox.SettleAsync(position, understood, cancel);
            Dealt(log, position.Uid, outcome);
        }
    }

    private async Task<(string Outcome, bool Understood)> DealAsync(
        InboundMail mail,
        CancellationToken cancel
    )
    {
        try
        {
            var outcome = await DealAgainAsync(mail, cancel);
            ServiceMeter.Read(Words.Kebab(mail.Kind.ToString()));
            return (outcome, mail.Kind != InboundKind.Malformed);
        }
        catch (Exception e) when (e is not (OperationCanceledException or StoreException))
        {
            ServiceMeter.Read("defect");
            Broken(log, e);
            return ($"a defect showed: {e.GetType().Name}", false);
        }
    }

    // The limit of a pattern is told by the clock: a machine that stood still for a moment is no fault of the message.
    private async Task<string> DealAgainAsync(InboundMail mail, CancellationToken cancel)
    {
        for (var left = Tries - 1; ; left--)
        {
            try
            {
                return await desk.DealAsync(mail, cancel);
            }
            catch (RegexMatchTimeoutException) when (left > 0)
            {
                StoodStill(log);
            }
        }
    }

    private static string KeyOf(InboundMail mail) =>
        mail.MessageId.Length == 0
            ? ""
            : Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(mail.MessageId)));

    [LoggerMessage(LogLevel.Information, "Inbound message {Uid}: {Outcome}")]
    private static partial void Dealt(ILogger log, uint uid, string outcome);

    [LoggerMessage(LogLevel.Warning, "The mailbox cannot be read: {Why}")]
    private static partial void Away(ILogger log, string why);

    [LoggerMessage(
        LogLevel.Information,
        "Reading a message took too long, so it is read once more: the machine may have stood still"
    )]
    private static partial void StoodStill(ILogger log);

    [LoggerMessage(LogLevel.Error, "A defect showed while reading the mailbox")]
    private static partial void Broken(ILogger log, Exception e);
}
