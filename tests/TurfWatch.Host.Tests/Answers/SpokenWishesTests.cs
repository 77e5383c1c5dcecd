using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using Xunit;

namespace TurfWatch.Host.Tests.Answers;

/// <summary>How people say which messages they want, and how they say that they want none.</summary>
public sealed class SpokenWishesTests
{
    private static readonly LocalDateTime Now = new(2026, 11, 25, 9, 40);

    [Theory]
    [InlineData("no morning", false, null, null)]
    [InlineData("No morning messages please.", false, null, null)]
    [InlineData("stop the morning message", false, null, null)]
    [InlineData("mornings off", false, null, null)]
    [InlineData("morning on", true, null, null)]
    [InlineData("no alerts", null, false, null)]
    [InlineData("alerts off", null, false, null)]
    [InlineData("turn on alerts", null, true, null)]
    [InlineData("no digest", null, null, false)]
    [InlineData("no morning, no alerts", false, false, null)]
    [InlineData("no morning or alerts", false, false, null)]
    [InlineData("morning and alerts off", false, false, null)]
    [InlineData("no morning but alerts on", false, true, null)]
    [InlineData("digest only", false, false, true)]
    [InlineData("only the weekly digest", false, false, true)]
    [InlineData("alerts only please", false, true, false)]
    [InlineData("only alerts and digest", false, true, true)]
    [InlineData("all messages", true, true, true)]
    [InlineData("Send me everything again", true, true, true)]
    [InlineData("no morning, no alerts, no digest", false, false, false)]
    public void Which_messages(string line, bool? morning, bool? alerts, bool? digest) =>
        Assert.Equal(new Messages(morning, alerts, digest), Only(line));

    [Theory]
    [InlineData("morning at 6:15", "06:15")]
    [InlineData("morning 7", "07:00")]
    [InlineData("Morning message at 5.30 am please", "05:30")]
    [InlineData("mornings by 8:00", "08:00")]
    [InlineData("send the morning mail at 12:05 pm", "12:05")]
    public void At_what_time(string line, string time) =>
        Assert.Equal(new Change("time", time), Only(line));

    [Theory]
    [InlineData("days mon wed sat", "days", "mon,wed,sat")]
    [InlineData("mowing days: Monday, Wednesday and Saturday", "days", "mon,wed,sat")]
    [InlineData("days any", "days", "any")]
    [InlineData("mow days every day", "days", "any")]
    [InlineData("water days tue fri", "water-days", "tue,fri")]
    [InlineData("watering days are tues/fri", "water-days", "tue,fri")]
    [InlineData("digest on sunday", "digest", "sun")]
    public void On_which_days(string line, string word, string value) =>
        Assert.Equal(new Change(word, value), Only(line));

    [Theory]
    [InlineData("no more messages")]
    [InlineData("No more emails please!")]
    [InlineData("stop sending me these messages")]
    [InlineData("stop sending messages")]
    [InlineData("stop emailing me")]
    [InlineData("remove me from the list")]
    [InlineData("take me off your list, thanks")]
    [InlineData("opt out")]
    [InlineData("stop all messages")]
    [InlineData("stop everything")]
    [InlineData("quit")]
    public void Whoever_wants_no_more_leaves(string line) => Assert.IsType<Leave>(Only(line));

    [Theory]
    [InlineData("no mowing today")]
    [InlineData("no, the dog did not mow")]
    [InlineData("the morning was cold")]
    [InlineData("morning at 27:15")]
    [InlineData("morning at 13 pm")]
    [InlineData("alerts")]
    [InlineData("digest on sunday and monday")]
    [InlineData("no stop alerts on")]
    public void What_is_no_wish_changes_nothing(string line) =>
        Assert.IsType<NotUnderstood>(Only(line));

    [Theory]
    [InlineData("Good morning")]
    [InlineData("Good morning!")]
    public void A_greeting_is_a_greeting(string line) => Assert.Empty(Read(line));

    [Fact]
    public void A_wish_changes_only_what_it_names_and_the_receipt_says_what_is_sent()
    {
        var lawn = new Lawn
        {
            Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
            Grass = GrassKind.Bermuda,
            DigestDay = IsoDayOfWeek.Wednesday,
            MowingTime = Duration.FromHours(2),
        };
        var only = Effect(lawn, "digest only");
        Assert.Equal(
            (false, false, IsoDayOfWeek.Wednesday),
            (only.Changed!.Morning, only.Changed.Alerts, only.Changed.DigestDay)
        );
        Assert.Contains("the digest each Wednesday", Text(only), StringComparison.Ordinal);
        var all = Effect(only.Changed with { DigestDay = null }, "all messages");
        Assert.Equal(
            (true, true, IsoDayOfWeek.Saturday),
            (all.Changed!.Morning, all.Changed.Alerts, all.Changed.DigestDay)
        );
        var none = Effect(lawn, "no morning", "no alerts", "no digest");
        Assert.Equal(
            (false, false, null),
            (none.Changed!.Morning, none.Changed.Alerts, none.Changed.DigestDay)
        );
        Assert.Contains("answer: stop", Text(none), StringComparison.Ordinal);
        var days = Effect(lawn, "days mon wed");
        Assert.Equal([IsoDayOfWeek.Monday, IsoDayOfWeek.Wednesday], days.Changed!.MowDays);
        Assert.Empty(Effect(days.Changed, "days any").Changed!.MowDays);
        Assert.Equal(lawn.MowingTime, days.Changed.MowingTime);
        Assert.Equal(new LocalTime(6, 15), Effect(lawn, "morning at 6:15").Changed!.MessageTime);
    }

    [Theory]
    [InlineData("aerated", JournalKind.Aerated)]
    [InlineData("core aerated yesterday", JournalKind.Aerated)]
    [InlineData("we aerated the lawn on saturday", JournalKind.Aerated)]
    [InlineData("dethatched", JournalKind.Dethatched)]
    [InlineData("skipped mowing", JournalKind.MowingSkipped)]
    [InlineData("skip this one", JournalKind.MowingSkipped)]
    [InlineData("i skipped the mowing yesterday", JournalKind.MowingSkipped)]
    [InlineData("power raked it yesterday", JournalKind.Dethatched)]
    [InlineData("pre-emergent", JournalKind.PreEmergent)]
    [InlineData("put down pre-emergent yesterday", JournalKind.PreEmergent)]
    [InlineData("applied preemergent on nov 20", JournalKind.PreEmergent)]
    [InlineData("spread a pre emergent herbicide", JournalKind.PreEmergent)]
    public void Work_on_the_ground_and_against_weeds(string line, JournalKind kind)
    {
        var did = Assert.IsType<Did>(Only(line));
        Assert.Equal(kind, did.Kind);
        Assert.Null(did.Amount);
        Assert.True(did.Date <= Now.Date);
    }

    [Theory]
    [InlineData("should I put down pre-emergent?")]
    [InlineData("did not aerate")]
    [InlineData("will dethatch tomorrow")]
    [InlineData("fed 5 lb 0-0-7 with pre-emergent")]
    public void Work_that_was_not_done_is_not_written_down(string line) =>
        Assert.IsType<NotUnderstood>(Only(line));

    private static AnswerEffect Effect(Lawn lawn, params string[] lines) =>
        AnswerEffect.Of(Read(lines), lawn, Now.Date, null);

    private static string Text(AnswerEffect effect) =>
        string.Join(
            ' ',
            effect.Understood.Select(p => string.Format(null, p.Format, [.. p.Arguments]))
        );

    private static Answer Only(string line) => Assert.Single(Read(line));

    private static IReadOnlyList<Answer> Read(params string[] lines) =>
        AnswerReader.Read(lines, Now, UnitSystem.UsCustomary);
}
