namespace TurfWatch.Mail.Tests;

/// <summary>What the words of a relay's answer say about when to try again.</summary>
public sealed class SmtpRepliesTests
{
    [Theory]
    [InlineData("450 try again in 90 seconds", 90)]
    [InlineData("451 4.7.1 Please retry after 5 min", 300)]
    [InlineData("451 Try again in 2 hours.", 7200)]
    [InlineData("451 greylisted for 300s, come back in 300s", 300)]
    [InlineData("451 in 999999 hours", 86400)]
    public void Hints_to_wait_are_understood(string reply, int seconds) =>
        Assert.Equal(TimeSpan.FromSeconds(seconds), SmtpReplies.RetryHint(reply));

    [Theory]
    [InlineData("451 in a moment")]
    [InlineData("450 4.2.0 mailbox busy")]
    [InlineData("451 error in 12 stages")]
    public void What_is_no_hint_is_not_taken_for_one(string reply) =>
        Assert.Null(SmtpReplies.RetryHint(reply));
}
