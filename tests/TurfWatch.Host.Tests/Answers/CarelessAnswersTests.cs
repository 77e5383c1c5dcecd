using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Mail.Reading;
using Xunit;

namespace TurfWatch.Host.Tests.Answers;

/// <summary>Answers as thumbs type them. A wrong line in the journal is worse than a question back.</summary>
public sealed class CarelessAnswersTests
{
    // A Wednesday.
    private static readonly LocalDateTime Now = new(2026, 11, 25, 9, 40);

    [Theory]
    [InlineData("mowd 2in yday", "Mowed 11-24 5.08")]
    [InlineData("Mowed Yesterday", "Mowed 11-24")]
    [InlineData("MOWED 2 IN YESTERDAY", "Mowed 11-24 5.08")]
    [InlineData("mowed yest", "Mowed 11-24")]
    [InlineData("Mowed 3 Weeks ago", "Mowed 11-04")]
    [InlineData("mowed two days ago", "Mowed 11-23")]
    [InlineData("mowed a couple days ago at 2", "Mowed 11-23 5.08")]
    [InlineData("mowed 11/22", "Mowed 11-22")]
    [InlineData("11/22 mowed 2in", "Mowed 11-22 5.08")]
    [InlineData("mowed 22/11", "Mowed 11-22")]
    [InlineData("mowed the 22nd 2in", "Mowed 11-22 5.08")]
    [InlineData("mowed Monday the 23rd", "Mowed 11-23")]
    [InlineData("mowed on the 31st", "Mowed 10-31")]
    [InlineData("mowed at 2-1/2\"", "Mowed 11-25 6.35")]
    [InlineData("mowed .75 in", "Mowed 11-25 1.905")]
    [InlineData("mowed 2 inchs", "Mowed 11-25 5.08")]
    [InlineData("mowed at 5:30", "Mowed 11-25")]
    [InlineData("mowed 2in at 5pm yesterday", "Mowed 11-24 5.08")]
    [InlineData("mowed 3in to 2in", "Mowed 11-25 5.08")]
    [InlineData("mowed, took an inch off", "Mowed 11-25")]
    [InlineData("mowed at 2in, took 1/3 off", "Mowed 11-25 5.08")]
    [InlineData("Just finished mowing at 2.5", "Mowed 11-25 6.35")]
    [InlineData("my son mowed the lawn at 2 in yesterday", "Mowed 11-24 5.08")]
    [InlineData("Saturday: mowed 2 in", "Mowed 11-21 5.08")]
    [InlineData("back mowed 3 in", "Mowed 11-25 7.62")]
    [InlineData("½ in of water last night", "Watered 11-24 12.7")]
    [InlineData("watered .5", "Watered 11-25 12.7")]
    [InlineData("watered 1 hr 15 min", "Watered 11-25 75min")]
    [InlineData("watered an hour and a half", "Watered 11-25 90min")]
    [InlineData("watered 3x 10 min", "Watered 11-25 30min")]
    [InlineData("watered 10 min x 3", "Watered 11-25 30min")]
    [InlineData("watered 10 min twice", "Watered 11-25 20min")]
    [InlineData("ran the sprinklers for half an hour", "Watered 11-25 30min")]
    [InlineData("water 1/4 inch yesterday evening", "Watered 11-24 6.35")]
    [InlineData("soil temperature was 58 yesterday morning", "SoilMeasured 11-24 14.444")]
    [InlineData("seed sprouted", "Germinated 11-25")]
    [InlineData("rye's up", "Germinated 11-25 AnnualRyegrass")]
    [InlineData("new grass is coming in", "Germinated 11-25")]
    [InlineData("put down 30 lb rye sat", "Seeded 11-21 13.608kg AnnualRyegrass")]
    [InlineData("seeded 30# perennial rye", "Seeded 11-25 13.608kg PerennialRyegrass")]
    [InlineData("fed 5# 21-0-0", "Fed 11-25 2.268kg 21-0-0")]
    [InlineData("spread 12lb 24-0-11 sat", "Fed 11-21 5.443kg 24-0-11")]
    [InlineData("fed 5 lb urea", "Fed 11-25 2.268kg 46-0-0")]
    [InlineData("fed 10 lbs of triple 15", "Fed 11-25 4.536kg 15-15-15")]
    [InlineData("fed half a 50 lb bag of 10-10-10", "Fed 11-25 11.34kg 10-10-10")]
    [InlineData("used about half a bag of 10-10-10 (50lb bag)", "Fed 11-25 11.34kg 10-10-10")]
    [InlineData("fed 1 bag of 16-4-8 (18 lb)", "Fed 11-25 8.165kg 16-4-8")]
    [InlineData("fed half a pound of N per 1000", "Fed 11-25 2.441")]
    [InlineData("fed .5 lb N/1000", "Fed 11-25 2.441")]
    [InlineData("fed 1/2 lb N per M", "Fed 11-25 2.441")]
    [InlineData("fed like you said", "Fed 11-25 as advised")]
    [InlineData("applied prodiamine sunday", "PreEmergent 11-22")]
    [InlineData("had it aerated", "Aerated 11-25")]
    public void Is_understood_as_it_is_meant(string line, string meant) =>
        Assert.Equal(meant, Told(Assert.Single(Read(line))));

    [Theory]
    [InlineData(
        "Mowed 2\", fed 5lb 21-0-0, watered 15 min",
        "Mowed 11-25 5.08; Fed 11-25 2.268kg 21-0-0; Watered 11-25 15min"
    )]
    [InlineData(
        "mowed yesterday at 2in then fertilized with 5 lb of 21-0-0",
        "Mowed 11-24 5.08; Fed 11-24 2.268kg 21-0-0"
    )]
    [InlineData("Saturday: mowed 2 in, watered 20 min", "Mowed 11-21 5.08; Watered 11-21 20min")]
    [InlineData("mowed 2, soil temp 58", "Mowed 11-25 5.08; SoilMeasured 11-25 14.444")]
    [InlineData(
        "Hello, mowed today 2\", put down 5# of 21-0-0 and watered it in for 15 min. thx!",
        "Mowed 11-25 5.08; Fed 11-25 2.268kg 21-0-0; Watered 11-25 15min"
    )]
    [InlineData("fed and watered", "Fed 11-25; Watered 11-25")]
    [InlineData("didn't mow but watered 20 min", "?; Watered 11-25 20min")]
    [InlineData("Mowed 2in yesterday, will water tomorrow", "Mowed 11-24 5.08; ?")]
    [InlineData("haven't mowed and fertilized", "?")]
    [InlineData("mowed 2in and watered 20 min?", "?")]
    [InlineData("watered 20 min mowed 2 in", "?")]
    public void Two_things_in_a_line_are_two_lines_of_the_journal(string line, string meant) =>
        Assert.Equal(meant, string.Join("; ", Read(line).Select(Told)));

    [Theory]
    [InlineData("mowed last week")]
    [InlineData("mowed over the weekend")]
    [InlineData("mowed a few days ago")]
    [InlineData("watered 20 min a day")]
    [InlineData("watered 20 min for 3 days")]
    [InlineData("Watered 30 minutes Monday, 15 minutes Tuesday")]
    [InlineData("mowed on setting 4")]
    [InlineData("mowed at 3rd notch")]
    [InlineData("fed 25 lb (half a bag) of 10-10-10")]
    [InlineData("fed 2 bags 21-0-0, 36 lb")]
    [InlineData("fed 1/0 bag 21-0-0")]
    [InlineData("fed a bag of 21-0-0")]
    [InlineData("weeds came up")]
    [InlineData("water bill came up")]
    [InlineData("water is off")]
    [InlineData("watered the flowers")]
    [InlineData("fed the dog")]
    [InlineData("cut the hedge")]
    [InlineData("cut my finger")]
    [InlineData("if I mowed today would it be ok")]
    [InlineData("I wish I had mowed")]
    [InlineData("almost mowed")]
    [InlineData("pause until spring")]
    [InlineData("pause until next week")]
    [InlineData("stop watering reminders")]
    [InlineData("leave clippings")]
    [InlineData("leave it long")]
    [InlineData("don't unsubscribe me")]
    [InlineData("I did not mean to unsubscribe")]
    [InlineData("rained 0.5 in")]
    [InlineData("delete my data")]
    [InlineData("set zip 85705")]
    [InlineData("change my email to bob@example.com")]
    [InlineData("hold off on mowing")]
    public void Is_asked_back_and_not_guessed(string line) =>
        Assert.IsType<NotUnderstood>(Assert.Single(Read(line)));

    [Fact]
    public void A_bare_fraction_that_may_be_a_day_of_late_is_asked_back()
    {
        var inMarch = new LocalDateTime(2026, 3, 6, 18, 0);
        Assert.IsType<NotUnderstood>(
            Assert.Single(AnswerReader.Read(["mowed 3/4"], inMarch, UnitSystem.UsCustomary))
        );
        Assert.Equal("Mowed 11-25 1.905", Told(Assert.Single(Read("mowed 3/4"))));
    }

    [Theory]
    [InlineData("pls stop")]
    [InlineData("stop, I don't want these")]
    [InlineData("stop sending me this")]
    [InlineData("I want to unsubscribe")]
    [InlineData("how do i unsubscribe")]
    [InlineData("unsub")]
    [InlineData("take me off this list")]
    [InlineData("remove me from this list please")]
    [InlineData("remove")]
    [InlineData("delete me")]
    [InlineData("no more")]
    [InlineData("not interested")]
    [InlineData("I don't want these emails anymore")]
    [InlineData("cancel my subscription")]
    [InlineData("leave me alone")]
    public void Whoever_wants_to_leave_leaves(string line) =>
        Assert.IsType<Leave>(Assert.Single(Read(line)));

    [Theory]
    [InlineData("going away til the 20th", 2026, 12, 20)]
    [InlineData("pause till the 20th", 2026, 12, 20)]
    [InlineData("pause until 12/20", 2026, 12, 20)]
    [InlineData("out of town for a week", 2026, 12, 2)]
    [InlineData("stop until dec 20", 2026, 12, 20)]
    [InlineData("stop for 2 weeks", 2026, 12, 9)]
    [InlineData("no mail till dec 1", 2026, 12, 1)]
    [InlineData("skip until friday", 2026, 11, 27)]
    [InlineData("resume on dec 1", 2026, 12, 1)]
    [InlineData("resume tomorrow", 2026, 11, 26)]
    public void A_pause_in_other_words(string line, int year, int month, int day) =>
        Assert.Equal(new Pause(new LocalDate(year, month, day)), Assert.Single(Read(line)));

    [Fact]
    public void Small_commands_in_other_words()
    {
        foreach (var line in new[] { "oops undo", "cancel that", "take it back", "wrong, undo" })
        {
            Assert.IsType<Undo>(Assert.Single(Read(line)));
        }

        foreach (var line in new[] { "I'm back", "start again", "resume pls", "continue" })
        {
            Assert.IsType<Resume>(Assert.Single(Read(line)));
        }

        Assert.IsType<Help>(Assert.Single(Read("help, I need to change my settings")));
        Assert.IsType<ShowSettings>(Assert.Single(Read("show settings")));
    }

    [Theory]
    [InlineData("set pets no", "pets", "no")]
    [InlineData("change height to 3 in", "height", "3 in")]
    [InlineData("set height 2.5", "height", "2.5 in")]
    [InlineData("set area 3,000", "area", "3000 sq ft")]
    [InlineData("set time 7am", "time", "07:00")]
    [InlineData("set time 6", "time", "06:00")]
    [InlineData("set mow-until 6:15 pm", "mow-until", "18:15")]
    [InlineData("set overseed rye", "overseed", "annual-ryegrass")]
    [InlineData("set days weekends", "days", "sat,sun")]
    public void Settings_as_people_say_them(string line, string word, string value) =>
        Assert.Equal(new Change(word, value), Assert.Single(Read(line)));

    [Theory]
    [InlineData("Mowed 2in\n\nBob")]
    [InlineData("Mowed 2in\n\nThanks,\nBob Smith\n520-555-0100\nSmith Plumbing of Tucson")]
    [InlineData("mowed 2in\nsent via a telephone")]
    [InlineData("Hi there!\nmowed 2in")]
    [InlineData("mowed 2in. Thanks, will do!")]
    public void Names_and_courtesies_around_it_are_no_fault(string text) =>
        Assert.Equal(
            "Mowed 11-25 5.08",
            Told(
                Assert.Single(
                    AnswerReader.Read(ReplyText.OwnLines(text), Now, UnitSystem.UsCustomary)
                )
            )
        );

    private static IReadOnlyList<Answer> Read(string line) =>
        AnswerReader.Read([line], Now, UnitSystem.UsCustomary);

    private static string Told(Answer answer) =>
        answer is Did did
            ? string.Join(
                ' ',
                new[]
                {
                    did.Kind.ToString(),
                    did.Date.ToString("MM-dd", CultureInfo.InvariantCulture),
                    N(did.Amount, ""),
                    N(did.Minutes, "min"),
                    N(did.WholeLawnKg, "kg"),
                    did.Grade?.Text ?? "",
                    did.Grass?.ToString() ?? "",
                    did.AsAdvised ? "as advised" : "",
                }.Where(w => w.Length > 0)
            )
        : answer is NotUnderstood ? "?"
        : answer.ToString();

    private static string N(double? value, string unit) =>
        value is { } v ? v.ToString("0.###", CultureInfo.InvariantCulture) + unit : "";
}
