using TurfWatch.Host.Commands;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class ServeCommandTests
{
    // A supervisor that stops a service while it starts takes any other code for a failure.
    [Fact]
    public async Task Told_to_stop_while_it_starts_it_ends_well()
    {
        using var scratch = new Scratch();
        var config = Cli.Config(scratch);
        await using var output = new StringWriter();
        await using var error = new StringWriter();
        using var stopped = new CancellationTokenSource();
        await stopped.CancelAsync();

        var exit = await TurfWatchCommand.RunAsync(
            ["serve", "--config", config],
            new Terminal(output, error, Interactive: false, TimeProvider.System, scratch.Folder),
            stopped.Token
        );

        Assert.Equal("", error.ToString());
        Assert.Equal(CommandShell.Ok, exit);
    }
}
