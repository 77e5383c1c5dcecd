using System.CommandLine;
using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch outbox list|show|why|retry|cancel|hold|release</c>: what was, is and will be sent.</summary>
internal static class OutboxCommand
{
    public static Command Create(Terminal terminal) =>
        new("outbox", "What was sent, what waits, what failed and why; hold and release all of it.")
        {
            OutboxListCommand.Create(terminal),
            OutboxShowCommand.Create(terminal),
            OutboxWhyCommand.Create(terminal),
            Retry(terminal),
            Cancel(terminal),
            OutboxHoldCommand.Hold(terminal),
            OutboxHoldCommand.Release(terminal),
        };

    public static Argument<string> IdArgument() =>
        new("ID") { Description = "Number of the message, as 'turfwatch outbox list' shows it." };

    public static long Id(ParseResult parse, Argument<string> id)
    {
        var text = parse.GetValue(id)!;
        return long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            ? number
            : throw new MisuseException(
                $"ID is '{text}'; write the number of a message, as 'turfwatch outbox list' shows it."
            );
    }

    public static Option<bool> FullOption() =>
        new("--full") { Description = "Show addresses whole; left out, they are masked." };

    public static string Address(string address, bool full) =>
        address.Length == 0 ? "(no longer kept)"
        : full ? address
        : AddressMask.Of(address);

    /// <summary>A reply or reason with the addresses that relays like to repeat masked.</summary>
    public static string Reply(string? reply, bool full) =>
        full ? reply ?? "" : AddressMask.In(reply ?? "");

    private static Command Retry(Terminal terminal)
    {
        var id = IdArgument();
        var even = new Option<bool>("--even-if-it-arrived")
        {
            Description =
                "The message may have arrived (state unknown); a second copy is better than none. It carries the same Message-ID.",
        };
        var command = new Command(
            "retry",
            """
            Tries a message again that was given up, cancelled or waits: at once, within its window, never one that was sent.

            Example: turfwatch outbox retry 4711
            """
        )
        {
            id,
            even,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var number = Id(parse, id);
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var answer = await store.Outbox.RetryAsync(number, parse.GetValue(even), cancel);
                if (answer != RetryAnswer.Queued)
                {
                    throw new MisuseException($"Message {number} {Refusal(answer)}");
                }

                var held = await store.Outbox.HeldAsync(cancel);
                await terminal.Out.WriteLineAsync(
                    held is null
                        ? $"Message {number} is in the queue; the running service sends it at its next sweep."
                        : $"Message {number} is in the queue, but {held.Sentence}."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static string Refusal(RetryAnswer answer) =>
        answer switch
        {
            RetryAnswer.Absent => "is not there; 'turfwatch outbox list' shows what is.",
            RetryAnswer.Sent => "was sent: the relay took it. It is not sent twice.",
            RetryAnswer.UnderWay => "is with a worker just now; look again in a minute.",
            RetryAnswer.TooLate =>
                "is past its window and would say what is no longer so; the next one will be right.",
            RetryAnswer.NoContent => "has no text any more, so there is nothing to send.",
            RetryAnswer.MayNotReceive =>
                "goes to somebody who left, or whose mailbox refuses mail. It is not sent.",
            RetryAnswer.MayHaveArrived =>
                "may have arrived: the relay never answered. If a second copy is better than none, add --even-if-it-arrived.",
            _ => throw new ArgumentOutOfRangeException(nameof(answer), answer, "no refusal"),
        };

    private static Command Cancel(Terminal terminal)
    {
        var id = IdArgument();
        var command = new Command(
            "cancel",
            """
            Gives up a message that waits. It is not made again; 'retry' brings it back while its window is open.

            Example: turfwatch outbox cancel 4711
            """
        )
        {
            id,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var number = Id(parse, id);
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                if (await store.Outbox.CancelAsync(number, "cancelled by the operator", cancel))
                {
                    await terminal.Out.WriteLineAsync($"Message {number} will not be sent.");
                    return CommandShell.Ok;
                }

                var file = await store.Outbox.OpenFileAsync(number, cancel);
                throw new MisuseException(
                    file is null
                        ? $"Message {number} is not there; 'turfwatch outbox list' shows what is."
                        : $"Message {number} is {Words.Kebab(file.Message.State.ToString())} and cannot be cancelled any more."
                );
            }
        );
        return command;
    }
}
