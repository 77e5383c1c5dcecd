using TurfWatch.Host.Telemetry;
using Xunit;

namespace TurfWatch.Host.Tests.Security;

/// <summary>What came from outside cannot write lines of its own into the log.</summary>
public sealed class LogTests
{
    [Theory]
    [InlineData("plain\n", "plain\n")]
    [InlineData("a\r\n2026-11-25 all is well\n", "a  2026-11-25 all is well\n")]
    [InlineData("a\u001b[2J\u009bK\0b\n", "a [2J K b\n")]
    [InlineData("", "")]
    public void One_event_is_one_line(string written, string shown) =>
        Assert.Equal(shown, MaskedConsole.OneLine(written));
}
