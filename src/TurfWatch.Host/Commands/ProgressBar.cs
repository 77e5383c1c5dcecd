using Spectre.Console;

namespace TurfWatch.Host.Commands;

/// <summary>Shows how far long work has come: a bar for a person, a line now and then for a log.</summary>
internal static class ProgressBar
{
    /// <param name="terminal">Where it is shown.</param>
    /// <param name="title">What is being done.</param>
    /// <param name="total">How many steps there are.</param>
    /// <param name="work">The work; it calls its argument once for each step done.</param>
    public static async Task<T> RunAsync<T>(
        Terminal terminal,
        string title,
        int total,
        Func<Action<int>, Task<T>> work
    )
    {
        if (!terminal.Interactive)
        {
            return await RunPlain(terminal, title, total, work);
        }

        var console = AnsiConsole.Create(
            new AnsiConsoleSettings { Out = new AnsiConsoleOutput(terminal.Error) }
        );
        return await console
            .Progress()
            .Columns(
                new TaskDescriptionColumn(),
                new ProgressBarColumn(),
                new PercentageColumn(),
                new RemainingTimeColumn()
            )
            .StartAsync(async context =>
            {
                var task = context.AddTask(title, maxValue: Math.Max(1, total));
                return await work(steps => task.Increment(steps));
            });
    }

    private static async Task<T> RunPlain<T>(
        Terminal terminal,
        string title,
        int total,
        Func<Action<int>, Task<T>> work
    )
    {
        var done = 0;
        var told = 0;
        var gate = new Lock();
        return await work(steps =>
        {
            lock (gate)
            {
                done += steps;
                var tenths = 10 * done / Math.Max(1, total);
                if (tenths > told)
                {
                    told = tenths;
                    terminal.Error.WriteLine($"{title}: {tenths * 10} %");
                }
            }
        });
    }
}
