using System.CommandLine;

namespace TurfWatch.Host.Commands;

/// <summary><c>--at</c>: the instant that the program takes for now.</summary>
internal static class AtOption
{
    public static Option<string?> Create() =>
        new("--at")
        {
            Description =
                "Sets the program's clock, for trying it on recorded weather, for example 2026-05-31T06:00:00-05:00.",
            HelpName = "INSTANT",
        };

    public static TimeProvider Clock(ParseResult parse, Option<string?> at, Terminal terminal)
    {
        if (parse.GetValue(at) is not { } text)
        {
            return terminal.Clock;
        }

        var faults = new List<string>();
        return Words.Instant("--at", text, faults) is { } instant
            ? new ShiftedClock(terminal.Clock, instant)
            : throw new MisuseException(faults);
    }
}
