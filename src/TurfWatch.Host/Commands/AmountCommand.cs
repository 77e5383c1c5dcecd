using System.CommandLine;
using NodaTime;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch amount feed|seed|water|soil-test</c>: how much for an area. Needs no configuration and no network.</summary>
internal static class AmountCommand
{
    public static Command Create(Terminal terminal) =>
        new(
            "amount",
            """
            How much product, seed or water an area takes, and what a soil test means.

            Example: turfwatch amount feed --area 5000sqft --grade 21-0-0 --rate 0.5lb/1000sqft
            """
        )
        {
            FeedAmountCommand.Create(terminal),
            SeedAmountCommand.Create(terminal),
            WaterAmountCommand.Create(terminal),
            SoilTestCommand.Create(terminal),
        };

    /// <summary>A verb whose options are all words that <paramref name="answer"/> reads, and the units of the answer; faults are told together.</summary>
    public static Command Verb(
        Terminal terminal,
        string name,
        string about,
        IReadOnlyList<AmountWord> own,
        Func<AmountWords, IEnumerable<string>> answer
    )
    {
        AmountWord[] words = [.. own, AmountWords.Units];
        var options = words
            .Select(w => new Option<string?>("--" + w.Name)
            {
                Description = w.Means,
                HelpName = w.Takes,
            })
            .ToList();
        var command = new Command(name, about);
        options.ForEach(command.Options.Add);
        command.Does(
            terminal,
            async (parse, _) =>
            {
                var typed = options
                    .Where(o => parse.GetValue(o) is not null)
                    .ToDictionary(
                        o => o.Name[2..],
                        o => parse.GetValue(o)!,
                        StringComparer.Ordinal
                    );
                var faults = words
                    .Where(w => w.Required && !typed.ContainsKey(w.Name))
                    .Select(w => $"--{w.Name} is missing: {w.Means}")
                    .ToList();
                var today = Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow()).InUtc().Date;
                var lines = answer(new(typed, faults, today)).ToList();
                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                foreach (var line in lines)
                {
                    await terminal.Out.WriteLineAsync(line);
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }
}
