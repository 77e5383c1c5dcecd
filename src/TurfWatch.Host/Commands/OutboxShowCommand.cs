using System.CommandLine;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch outbox show</c>.</summary>
internal static class OutboxShowCommand
{
    public static Command Create(Terminal terminal)
    {
        var id = OutboxCommand.IdArgument();
        var full = OutboxCommand.FullOption();
        var eml = new Option<string?>("--eml")
        {
            Description =
                "Write the message as it is sent (unsigned) into this new file, address, links and all.",
            HelpName = "OUT",
        };
        var asJson = JsonOutput.Option();
        var command = new Command(
            "show",
            """
            Shows one message: its window, what was tried, what the relay answered.

            Example: turfwatch outbox show 4711 --eml /tmp/4711.eml
            """
        )
        {
            id,
            full,
            eml,
            asJson,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var number = OutboxCommand.Id(parse, id);
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var file =
                    await store.Outbox.OpenFileAsync(number, cancel)
                    ?? throw new MisuseException(
                        $"Message {number} is not there; 'turfwatch outbox list' shows what is."
                    );
                var shown = parse.GetValue(full);
                if (parse.GetValue(asJson))
                {
                    await JsonOutput.WriteAsync(terminal, Json(file, shown));
                }
                else
                {
                    foreach (var (name, value) in Lines(file, shown))
                    {
                        await terminal.Out.WriteLineAsync($"{name, -12}  {value}");
                    }
                }

                if (parse.GetValue(eml) is { } path)
                {
                    Write(file, Path.GetFullPath(path, terminal.Folder));
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static IEnumerable<(string Name, string Value)> Lines(OutboxFile file, bool full)
    {
        var m = file.Message;
        yield return ("message", $"{m.Id}, {Words.Kebab(m.Kind.ToString())}, key {m.Key}");
        yield return ("to", OutboxCommand.Address(m.Recipient, full));
        yield return (
            "state",
            $"{Words.Kebab(m.State.ToString())}: {Means(m.State, file.SentAgain)}"
        );
        yield return (
            "window",
            $"{OutboxListCommand.Short(m.NotBefore)} to {OutboxListCommand.Short(m.NotAfter)}"
        );
        yield return ("made", OutboxListCommand.Short(file.CreatedAt));
        if (file.SettledAt is { } at)
        {
            yield return ("settled", OutboxListCommand.Short(at));
        }
        else
        {
            yield return ("next try", OutboxListCommand.Short(file.NextAt));
        }

        yield return (
            "tried",
            $"claimed {m.Attempts} times{(file.Lost > 0 ? $", {file.Lost} of them by a worker that stopped" : "")}"
        );
        yield return ("last answer", OutboxCommand.Reply(m.LastReply ?? "none", full));
        yield return ("Message-ID", m.MessageId.Length > 0 ? $"<{m.MessageId}>" : "none");
        yield return (
            "text",
            m.Content.Length > 0 ? $"{m.Content.Length} bytes" : "no longer kept, or never made"
        );
    }

    public static string Means(OutboxState state, bool sentAgain) =>
        state switch
        {
            OutboxState.Queued => sentAgain
                ? "waits for its one second try; the first may have arrived"
                : "waits for its time or its next try",
            OutboxState.Claimed => "a worker has it and is about to send it",
            OutboxState.Sending => "it is being given to the relay",
            OutboxState.Sent => "the relay took it",
            OutboxState.Expired => "its window closed before it could be sent",
            OutboxState.Suppressed =>
                "not sent: the subscriber left or paused, or it was cancelled",
            OutboxState.Dead => "refused for good, or given up after too many tries",
            OutboxState.Unknown =>
                "it may or may not have arrived; not sent again, lest it come twice",
            _ => "",
        };

    private static object Json(OutboxFile file, bool full)
    {
        var m = file.Message;
        return new
        {
            m.Id,
            Kind = Words.Kebab(m.Kind.ToString()),
            m.Key,
            State = Words.Kebab(m.State.ToString()),
            To = m.Recipient.Length == 0 ? null : OutboxCommand.Address(m.Recipient, full),
            NotBefore = m.NotBefore.ToString(),
            NotAfter = m.NotAfter.ToString(),
            MadeAt = file.CreatedAt.ToString(),
            NextAt = file.SettledAt is null ? file.NextAt.ToString() : null,
            SettledAt = file.SettledAt?.ToString(),
            m.Attempts,
            file.Lost,
            file.SentAgain,
            LastReply = m.LastReply is null ? null : OutboxCommand.Reply(m.LastReply, full),
            m.MessageId,
            Bytes = m.Content.Length,
        };
    }

    private static void Write(OutboxFile file, string path)
    {
        if (file.Message.Content.Length == 0)
        {
            throw new MisuseException(
                $"Message {file.Message.Id} has no text: it is no longer kept, or was never made. Nothing was written."
            );
        }

        if (Path.Exists(path))
        {
            throw new MisuseException(
                $"--eml is '{path}', which is there already; name a new file."
            );
        }

        using var stream = new FileStream(
            path,
            new FileStreamOptions
            {
                Mode = FileMode.CreateNew,
                Access = FileAccess.Write,
                UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
            }
        );
        stream.Write(file.Message.Content);
    }
}
