using System.CommandLine;
using NodaTime;
using TurfWatch.Host.Jobs;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch outbox hold|release</c>: nothing goes out, and all goes on.</summary>
internal static class OutboxHoldCommand
{
    private const string AtBackup = "at-backup";

    public static Command Hold(Terminal terminal)
    {
        var reason = new Option<string>("--reason")
        {
            Description = "Why, for whoever looks next.",
            HelpName = "TEXT",
            DefaultValueFactory = _ => "held by the operator",
        };
        var copyOf = new Option<string?>("--copy-of")
        {
            Description =
                "The database was put back in another way than by 'turfwatch restore' (a snapshot of the server) and shows this moment: hold it as a restored copy.",
            HelpName = "INSTANT",
        };
        var command = new Command(
            "hold",
            """
            Sends nothing from now on, until it is released. The service goes on working out messages; those whose window
            closes meanwhile expire.

            Example: turfwatch outbox hold --reason "wrong sender address"
            """
        )
        {
            reason,
            copyOf,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                var moment = parse.GetValue(copyOf) is { } text
                    ? Words.Instant("--copy-of", text, faults)
                    : null;
                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                await terminal.Out.WriteLineAsync(
                    await store.Outbox.HoldAsync(parse.GetValue(reason)!.Trim(), moment, cancel)
                        ? "Held: nothing is sent until 'turfwatch outbox release'."
                        : $"It is held already: {(await store.Outbox.HeldAsync(cancel))?.Sentence}."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    public static Command Release(Terminal terminal)
    {
        var stopped = new Option<string?>("--old-service-stopped")
        {
            Description =
                $"Of a restored copy: when the service that the backup was taken from last sent anything; '{AtBackup}' if it sent nothing after the backup. Left out: the moment of the restore.",
            HelpName = "INSTANT",
        };
        var command = new Command(
            "release",
            """
            Ends a hold. Messages whose window has closed expire; the others go out.

            Of a restored copy nobody knows what the old service sent after the backup. Mornings and digests that it may have
            sent, those due until it stopped, are put on record as unknown and not sent again; alerts and receipts are sent
            once more with the same Message-ID. So say when it stopped if you know; the later the moment, the fewer copies and
            the more gaps. Make sure that it stays stopped: two services send twice.

            Example: turfwatch outbox release --old-service-stopped 2026-11-29T05:10:00-07:00
            """
        )
        {
            stopped,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var settings = parse.Settings(terminal, StoreOptions.Section, JobsOptions.Section);
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                if (await store.Outbox.HeldAsync(cancel) is not { } hold)
                {
                    await terminal.Out.WriteLineAsync("Nothing is held.");
                    return CommandShell.Ok;
                }

                var until = OthersSentUntil(
                    parse.GetValue(stopped),
                    hold,
                    Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow())
                );
                var released = await new HoldRelease(store, settings.Get<JobsOptions>()).RunAsync(
                    hold,
                    until,
                    cancel
                );
                if (released is not null)
                {
                    await terminal.Out.WriteLineAsync(
                        $"Released. Waiting to be sent: {released.Waiting}. Expired, since their window closed: {released.Expired}.{Maybe(released)}"
                    );
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static string Maybe(HoldReleased released) =>
        released.Unknown + released.SentOnceMore == 0
            ? ""
            : $" Perhaps sent by the old service and not sent again: {released.Unknown}. Perhaps sent, and sent once more with the same Message-ID: {released.SentOnceMore}.";

    private static Instant? OthersSentUntil(string? text, OutboxHold hold, Instant now)
    {
        if (!hold.IsRestored)
        {
            return text is null
                ? null
                : throw new MisuseException(
                    "--old-service-stopped is for restored copies, and this is none: leave it out."
                );
        }

        if (text is null)
        {
            return hold.RestoredAt;
        }

        if (string.Equals(text.Trim(), AtBackup, StringComparison.OrdinalIgnoreCase))
        {
            return null;
        }

        var faults = new List<string>();
        var at = Words.Instant("--old-service-stopped", text, faults);
        return faults.Count > 0 ? throw new MisuseException(faults)
            : at > now
                ? throw new MisuseException(
                    $"--old-service-stopped is '{text}', which is still to come. Stop the old service first: two services send twice."
                )
            : at;
    }
}
