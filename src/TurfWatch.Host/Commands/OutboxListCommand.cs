using System.CommandLine;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch outbox list</c>.</summary>
internal static class OutboxListCommand
{
    private static readonly Duration Usual = Duration.FromDays(7);

    public static Command Create(Terminal terminal)
    {
        var state = new Option<string?>("--state")
        {
            Description =
                "Only these, with commas between: "
                + string.Join(", ", Enum.GetNames<OutboxState>().Select(Words.Kebab))
                + ".",
            HelpName = "STATE",
        };
        var kind = new Option<string?>("--kind")
        {
            Description =
                "Only this kind: "
                + string.Join(", ", Enum.GetNames<MessageKind>().Select(Words.Kebab))
                + ".",
            HelpName = "KIND",
        };
        var since = new Option<string?>("--since")
        {
            Description =
                "Due on this date (UTC) or at this instant or later. Left out: the last 7 days and all that is to come.",
            HelpName = "WHEN",
        };
        var subscriber = new Option<string?>("--subscriber")
        {
            Description = "Only to this address.",
            HelpName = "ADDRESS",
        };
        var full = OutboxCommand.FullOption();
        var asJson = JsonOutput.Option();
        var command = new Command(
            "list",
            """
            Lists messages with their states, in the order in which they were made. Addresses are masked.

            Example: turfwatch outbox list --state unknown,dead --since 2026-11-29
            """
        )
        {
            state,
            kind,
            since,
            subscriber,
            full,
            asJson,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                var now = Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow());
                var search = new OutboxSearch(
                    States(parse.GetValue(state), faults),
                    parse.GetValue(kind) is { } k
                        ? Words.OneOf<MessageKind>("--kind", k, faults)
                        : null,
                    Since: parse.GetValue(since) is { } s ? When(s, faults) : now - Usual
                );
                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                if (parse.GetValue(subscriber) is { } address)
                {
                    search = search with
                    {
                        SubscriberId = await SubscriberAsync(store, address, cancel),
                    };
                }

                await PrintAsync(
                    terminal,
                    store,
                    search,
                    parse.GetValue(full),
                    parse.GetValue(asJson),
                    cancel
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    public static async Task<long> SubscriberAsync(
        TurfStore store,
        string address,
        CancellationToken cancel,
        string option = "--subscriber"
    ) =>
        (await store.Subscribers.FindAsync(address.Trim(), cancel))?.Subscriber.Id
        ?? throw new MisuseException(
            $"{option} is '{address}', which is not on the list; 'turfwatch subscribers list' shows who is."
        );

    private static async Task PrintAsync(
        Terminal terminal,
        TurfStore store,
        OutboxSearch search,
        bool full,
        bool asJson,
        CancellationToken cancel
    )
    {
        var held = await store.Outbox.HeldAsync(cancel);
        var rows = store.Outbox.SearchAsync(search, cancel);
        if (asJson)
        {
            await JsonOutput.WriteAsync(
                terminal,
                new
                {
                    Held = held is null
                        ? null
                        : new
                        {
                            Since = held.Since.ToString(),
                            held.Reason,
                            BackupAt = held.BackupAt?.ToString(),
                            RestoredAt = held.RestoredAt?.ToString(),
                        },
                    Messages = await rows.Select(m => new
                        {
                            m.Id,
                            State = Words.Kebab(m.State.ToString()),
                            Kind = Words.Kebab(m.Kind.ToString()),
                            m.Key,
                            To = m.Recipient.Length == 0
                                ? null
                                : OutboxCommand.Address(m.Recipient, full),
                            NotBefore = m.NotBefore.ToString(),
                            NotAfter = m.NotAfter.ToString(),
                            m.Attempts,
                            LastReply = m.LastReply is null
                                ? null
                                : OutboxCommand.Reply(m.LastReply, full),
                        })
                        .ToListAsync(cancel),
                }
            );
            return;
        }

        if (held is not null)
        {
            await terminal.Out.WriteLineAsync($"HELD: {held.Sentence}.");
        }

        var any = false;
        await foreach (var m in rows)
        {
            if (!any)
            {
                await terminal.Out.WriteLineAsync(
                    $"{"ID", 8}  {"STATE", -10}  {"KIND", -12}  {"DUE", -20}  {"TO", -24}  WHY"
                );
            }

            any = true;
            await terminal.Out.WriteLineAsync(
                $"{m.Id, 8}  {Words.Kebab(m.State.ToString()), -10}  {Words.Kebab(m.Kind.ToString()), -12}  {Short(m.NotBefore), -20}  {OutboxCommand.Address(m.Recipient, full), -24}  {OutboxCommand.Reply(m.LastReply, full)}".TrimEnd()
            );
        }

        if (!any)
        {
            await terminal.Out.WriteLineAsync("No such message.");
        }
    }

    /// <summary>Whole seconds, for columns.</summary>
    public static string Short(Instant at) =>
        Instant.FromUnixTimeSeconds(at.ToUnixTimeSeconds()).ToString();

    private static IReadOnlyCollection<OutboxState> States(string? text, List<string> faults) =>
        [
            .. (text ?? "")
                .Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
                .Select(word => Words.OneOf<OutboxState>("--state", word, faults))
                .OfType<OutboxState>(),
        ];

    private static Instant? When(string text, List<string> faults)
    {
        var tried = new List<string>();
        if (Words.Date("--since", text, tried) is { } date)
        {
            return date.AtMidnight().InUtc().ToInstant();
        }

        if (Words.Instant("--since", text, tried) is { } instant)
        {
            return instant;
        }

        faults.Add(
            $"--since is '{text}'; write a date, for example 2026-11-29, or an instant with its offset, for example 2026-11-29T06:00:00-07:00."
        );
        return null;
    }
}
