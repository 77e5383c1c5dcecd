using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using Xunit;

namespace TurfWatch.Host.Tests.Answers;

/// <summary>How people write, and what is made of it. The pounds, inches and feet are exact by definition (NIST SP 811).</summary>
public sealed class AnswerReaderTests
{
    // A Wednesday.
    private static readonly LocalDateTime Now = new(2026, 11, 25, 9, 40);
    private static readonly LocalDate Today = Now.Date;

    [Theory]
    [InlineData("mowed", null)]
    [InlineData("Mowed 2 in", 5.08)]
    [InlineData("mowed at 2.5 inches", 6.35)]
    [InlineData("I just mowed it to 2 1/2\"", 6.35)]
    [InlineData("we mowed the lawn, 2½ in", 6.35)]
    [InlineData("mowed two and a half inches", 6.35)]
    [InlineData("Mowed: 3", 7.62)]
    [InlineData("cut at 5 cm today", 5.0)]
    [InlineData("mowed 1,5 in", 3.81)]
    [InlineData("mowed 3/4 in", 1.905)]
    [InlineData("mowed 2”", 5.08)]
    [InlineData("mowed 2 in.", 5.08)]
    public void A_mowing_and_its_height(string line, double? cm)
    {
        var did = Assert.IsType<Did>(Only(line));
        Assert.Equal(JournalKind.Mowed, did.Kind);
        Assert.Equal(Today, did.Date);
        if (cm is null)
        {
            Assert.Null(did.Amount);
        }
        else
        {
            Assert.Equal(cm.Value, did.Amount!.Value, 6);
        }
    }

    [Theory]
    [InlineData("mowed yesterday", 2026, 11, 24)]
    [InlineData("mowed 2 in on saturday", 2026, 11, 21)]
    [InlineData("mowed wednesday", 2026, 11, 25)]
    [InlineData("mowed last wednesday", 2026, 11, 18)]
    [InlineData("mowed nov 20 at 2 in", 2026, 11, 20)]
    [InlineData("mowed on the 20th of november", 2026, 11, 20)]
    [InlineData("mowed 2026-11-19, 2 in", 2026, 11, 19)]
    [InlineData("mowed 3 days ago", 2026, 11, 22)]
    [InlineData("mowed on 11/20", 2026, 11, 20)]
    [InlineData("mowed 11/20/26", 2026, 11, 20)]
    [InlineData("mowed dec 30", 2025, 12, 30)]
    [InlineData("mowed day before yesterday", 2026, 11, 23)]
    public void The_day_that_is_meant(string line, int year, int month, int day) =>
        Assert.Equal(new LocalDate(year, month, day), Assert.IsType<Did>(Only(line)).Date);

    [Theory]
    [InlineData("mowed nov 20 at 2 in", 5.08)]
    [InlineData("mowed 2026-11-19, 2 in", 5.08)]
    [InlineData("mowed 2 in 3 days ago", 5.08)]
    public void A_date_is_no_height(string line, double cm) =>
        Assert.Equal(cm, Assert.IsType<Did>(Only(line)).Amount!.Value, 6);

    [Fact]
    public void Product_and_grade_of_a_feeding()
    {
        var did = Assert.IsType<Did>(Only("fed 5 lb of 21-0-0 yesterday"));
        Assert.Equal(JournalKind.Fed, did.Kind);
        Assert.Equal(new(21, 0, 0), did.Grade);
        Assert.Equal(5 * 0.45359237, did.WholeLawnKg!.Value, 9);
        Assert.Null(did.Amount);
    }

    [Fact]
    public void A_rate_of_nitrogen_and_a_rate_of_product_are_not_the_same()
    {
        // 1 lb per 1,000 sq ft is 4.882 g/m².
        var nitrogen = Assert.IsType<Did>(Only("fed 0.5 lb N per 1000 sq ft"));
        Assert.Equal(2.441, nitrogen.Amount!.Value, 3);
        var product = Assert.IsType<Did>(Only("fertilized 16-4-8 at 6 lb/1000"));
        Assert.Null(product.Amount);
        Assert.Equal(29.295, product.ProductGM2!.Value, 3);
        Assert.Equal(new(16, 4, 8), product.Grade);
    }

    [Fact]
    public void As_advised() => Assert.True(Assert.IsType<Did>(Only("fed as advised")).AsAdvised);

    [Fact]
    public void Seed_its_grass_and_weight()
    {
        var did = Assert.IsType<Did>(Only("Overseeded 25 lbs annual rye on Oct 3"));
        Assert.Equal(JournalKind.Seeded, did.Kind);
        Assert.Equal(GrassKind.AnnualRyegrass, did.Grass);
        Assert.Equal(25 * 0.45359237, did.WholeLawnKg!.Value, 9);
        Assert.Equal(new LocalDate(2026, 10, 3), did.Date);
    }

    [Theory]
    [InlineData("watered 0.5 in", 12.7, null)]
    [InlineData("watered 20 min", null, 20.0)]
    [InlineData("watered half an hour", null, 30.0)]
    [InlineData("irrigated 12 mm", 12.0, null)]
    [InlineData("watered", null, null)]
    public void Water_by_depth_or_by_time(string line, double? mm, double? minutes)
    {
        var did = Assert.IsType<Did>(Only(line));
        Assert.Equal(mm, did.Amount is { } a ? Math.Round(a, 6) : null);
        Assert.Equal(minutes, did.Minutes);
    }

    [Theory]
    [InlineData("soil 61", 16.111, "09:40")]
    [InlineData("soil temp 61 F at 7:30 am", 16.111, "07:30")]
    [InlineData("soil was 16 C", 16, "09:40")]
    [InlineData("soil 61 at 4 in", 16.111, "09:40")]
    [InlineData("soil 55° yesterday at 6pm", 12.778, "18:00")]
    public void A_reading_of_the_soil(string line, double celsius, string time)
    {
        var did = Assert.IsType<Did>(Only(line));
        Assert.Equal(JournalKind.SoilMeasured, did.Kind);
        Assert.Equal(celsius, did.Amount!.Value, 3);
        Assert.Equal(time, did.Time!.Value.ToString("HH:mm", null));
    }

    [Theory]
    [InlineData("the rye came up")]
    [InlineData("germinated")]
    [InlineData("Seed is up!")]
    public void New_seed_is_up(string line) =>
        Assert.Equal(JournalKind.Germinated, Assert.IsType<Did>(Only(line)).Kind);

    [Fact]
    public void Short_commands()
    {
        Assert.IsType<SkipToday>(Only("skip today"));
        Assert.IsType<Resume>(Only("Resume"));
        Assert.IsType<Undo>(Only("undo"));
        Assert.IsType<Help>(Only("HELP"));
        Assert.IsType<Leave>(Only("STOP"));
        Assert.IsType<Leave>(Only("unsubscribe please"));
        Assert.IsType<Confirm>(Only("Yes"));
        Assert.IsType<ShowSettings>(Only("settings"));
        Assert.Equal(new Pause(null), Only("pause"));
        Assert.Equal(new Pause(new LocalDate(2027, 1, 10)), Only("pause until Jan 10"));
        Assert.Equal(new Pause(new LocalDate(2026, 12, 9)), Only("on vacation for 2 weeks"));
        Assert.Equal(new Change("height", "2 in"), Only("set height 2 in"));
        Assert.Equal(new Change("time", "6:00"), Only("Set my time to 6:00"));
    }

    [Theory]
    [InlineData("did not mow today")]
    [InlineData("I didn't mow")]
    [InlineData("should I mow?")]
    [InlineData("mowed?? when did I say that?")]
    [InlineData("will mow tomorrow")]
    [InlineData("mow tomorrow 2 in")]
    [InlineData("going to feed 21-0-0 on saturday")]
    [InlineData("don't stop")]
    [InlineData("The dog ate the hose")]
    [InlineData("mowed at 40 in")]
    [InlineData("mowed 1890-05-01")]
    [InlineData("mowed feb 30")]
    [InlineData("fed 60-60-60")]
    [InlineData("fed 5 lb")]
    [InlineData("fed 900 lb N per 1000")]
    [InlineData("watered 90 in")]
    [InlineData("soil 400")]
    [InlineData("soil is wet")]
    [InlineData("pause until 2031-01-01")]
    [InlineData("set moon full")]
    public void What_is_no_deed_or_cannot_be_is_answered_with_a_reason(string line)
    {
        var not = Assert.IsType<NotUnderstood>(Only(line));
        Assert.NotEmpty(not.Why);
    }

    [Fact]
    public void Several_lines_and_courtesies()
    {
        var answers = Read(
            "Hi,",
            "mowed 2 in yesterday",
            "fed as advised; watered 20 min",
            "Thanks!"
        );
        Assert.Collection(
            answers,
            a => Assert.Equal(JournalKind.Mowed, ((Did)a).Kind),
            a => Assert.True(((Did)a).AsAdvised),
            a => Assert.Equal(20, ((Did)a).Minutes)
        );
    }

    [Fact]
    public void The_owners_units_hold_where_none_are_written()
    {
        var did = (Did)AnswerReader.Read(["mowed 5"], Now, UnitSystem.Metric)[0];
        Assert.Equal(5, did.Amount!.Value);
        var soil = (Did)AnswerReader.Read(["soil 12"], Now, UnitSystem.Metric)[0];
        Assert.Equal(12, soil.Amount!.Value);
    }

    private static Answer Only(string line) => Assert.Single(Read(line));

    private static IReadOnlyList<Answer> Read(params string[] lines) =>
        AnswerReader.Read(lines, Now, UnitSystem.UsCustomary);
}
