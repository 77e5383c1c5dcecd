using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class MorningBriefingTests(ITestOutputHelper output)
{
    public static TheoryData<string> Names => [.. InventedMornings.All().Select(m => m.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_kind_of_morning_reads_whole_and_agrees_with_itself(string name)
    {
        var maker = InventedMornings.All().Single(m => m.Name == name).Maker;
        var briefing = maker.Briefing();
        var subject = briefing.Subject.InUs(maker.Zone);
        var texts = Texts(briefing).Select(p => p.InUs(maker.Zone)).ToList();
        output.WriteLine(string.Join('\n', texts.Prepend(subject)));

        Assert.InRange(subject.Length, 10, 60);
        Assert.True(char.IsUpper(texts[0][0]));
        Assert.All(
            briefing.Mowing.Reasons,
            r => Assert.True(char.IsUpper(r.Text.InUs(maker.Zone)[0]))
        );
        Assert.DoesNotContain(briefing.Mowing.Reasons, r => r.Text.InUs(maker.Zone) == texts[0]);
        Assert.InRange(
            briefing.Mowing.Reasons.Count(r => r.Weight != AdviceWeight.Informs),
            1,
            Reasons.MostTold
        );
        Assert.DoesNotContain(texts, t => t.Contains("NaN", StringComparison.Ordinal));
        Assert.DoesNotContain(texts, string.IsNullOrWhiteSpace);
        Assert.EndsWith(".", briefing.Headline.InUs(maker.Zone), StringComparison.Ordinal);
        Assert.InRange(briefing.Cautions.Length, 0, 5);
        Assert.NotEmpty(briefing.Mowing.Reasons);
        Assert.All(briefing.Mowing.Reasons, r => Assert.False(string.IsNullOrWhiteSpace(r.Source)));
        var advised = briefing.Mowing.Verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom;
        Assert.Equal(advised, briefing.Mowing.From is not null);
        Assert.Equal(advised, briefing.Mowing.Until is not null);
        Assert.Equal(advised, !briefing.Cautions.IsEmpty);
    }

    [Fact]
    public void The_subject_carries_verdict_hours_and_reasons()
    {
        var maker = InventedMornings.All().First().Maker;
        var briefing = maker.Briefing();
        Assert.Equal(
            "Mow from 11 am to 1 pm: dew first, rain later",
            briefing.Subject.InUs(maker.Zone)
        );
        Assert.Equal(
            "Mow between 11 am and 1 pm: the dew should be gone by then, and rain is likely after that.",
            briefing.Headline.InUs(maker.Zone)
        );
    }

    [Fact]
    public void The_table_runs_from_the_message_to_the_end_of_the_owner_s_day()
    {
        var maker = InventedMornings.All().First().Maker;
        var hours = maker.Briefing().Hours;
        Assert.Equal(maker.At("07:00"), hours[0].HourEnd);
        Assert.Equal(maker.At("20:00"), hours[^1].HourEnd);
        Assert.Equal(
            [maker.At("12:00"), maker.At("13:00")],
            hours.Where(h => h.Mowable && h.HourEnd < maker.At("14:00")).Select(h => h.HourEnd)
        );
        Assert.Equal("dew", hours[1].Note);
        Assert.Equal("rain", hours.Single(h => h.HourEnd == maker.At("15:00")).Note);
    }

    // The columns are headed as chances in the hour, and an hour in which dew still lies is not one of 0 %.
    [Fact]
    public void An_hour_in_which_the_leaves_dry_shows_the_chance_at_its_beginning()
    {
        var maker = new MorningMaker().DewUntil(100, 100, 100, 85, 0).Mowed(9);
        var hours = maker.Briefing().Hours.ToDictionary(h => h.HourEnd);
        Assert.Equal(85, hours[maker.At("10:00")].WetChancePercent);
        Assert.False(hours[maker.At("10:00")].Mowable);
        Assert.Equal(0, hours[maker.At("11:00")].WetChancePercent);
    }

    [Fact]
    public void An_hour_in_which_the_window_opens_says_from_when()
    {
        var maker = InventedMornings.All().First().Maker;
        maker.Lawn = maker.Lawn with { MowFrom = new(11, 20), MowUntil = new(12, 50) };
        var hours = maker.Briefing().Hours;
        var first = hours.Single(h => h.HourEnd == maker.At("12:00"));
        var last = hours.Single(h => h.HourEnd == maker.At("13:00"));

        // Told on the quarter hour, inward.
        Assert.Equal((maker.At("11:30"), null), (first.OpenFrom, first.OpenUntil));
        Assert.Equal((null, maker.At("12:45")), (last.OpenFrom, last.OpenUntil));
        Assert.False(first.Mowable);
        var closed = hours.Single(h => h.HourEnd == maker.At("11:00"));
        Assert.Equal((null, null), (closed.OpenFrom, closed.OpenUntil));
    }

    [Fact]
    public void Numbers_of_the_day_are_sums_of_the_hours_shown()
    {
        var maker = new MorningMaker().Set(WeatherColumn.PrecipitationMm, 8, 10, 5);
        var facts = Facts(maker);
        // 0.15 mm an hour for a day; 10 mm of rain; soil 19 °C with an error of 1.5 K.
        Assert.Equal(
            "0.14 in yesterday, 0.14 in today",
            facts["Water that sun and wind draw (ET0)"]
        );
        Assert.Equal("0.39 in", facts["Rain, next 24 hours"]);
        Assert.Equal("0 in", facts["Rain, last 24 hours"]);
        Assert.Equal("66 °F, give or take 3 °F", facts["Soil at 4 in"]);
        Assert.Equal("90 % of what it can hold", facts["Water left in the root zone"]);
        Assert.DoesNotContain("How sure of the soil", facts.Keys);
    }

    [Fact]
    public void A_number_that_is_not_known_is_left_out()
    {
        var maker = new MorningMaker();
        Array.Fill(maker.Soil10, double.NaN);
        maker.Set(WeatherColumn.PrecipitationMm, 6, 72, double.NaN);
        var facts = Facts(maker);
        Assert.DoesNotContain("Soil at 4 in", facts.Keys);
        Assert.DoesNotContain("Rain, next 24 hours", facts.Keys);
        Assert.Contains("Rain, last 24 hours", facts.Keys);
    }

    [Theory]
    [InlineData(
        0,
        0,
        "not very: it was started from a guess, because no past weather could be had"
    )]
    [InlineData(7, 1, "not very: it rests on 7 days of past weather; about 60 would settle it")]
    [InlineData(
        7,
        0.5,
        "not very: it rests on 7 days of past weather of which 3 are known; about 60 would settle it"
    )]
    public void A_short_history_is_told_as_it_is(double days, double coverage, string said)
    {
        var facts = Facts(new MorningMaker { SpinUpDays = days, HistoryCoverage = coverage });
        Assert.Equal(said, facts["How sure of the soil"]);
        Assert.Equal("66 °F, give or take 3 °F", facts["Soil at 4 in"]);
    }

    [Fact]
    public void Soil_water_that_was_only_guessed_is_not_told_as_known()
    {
        var facts = Facts(new MorningMaker { SpinUpDays = 12, HistoryCoverage = 1 });
        Assert.Equal(
            "not known yet: it takes about 30 days of past weather, and we have 12",
            facts["Water left in the root zone"]
        );
    }

    [Fact]
    public void Metric_owners_read_metric_depths()
    {
        var maker = new MorningMaker();
        maker.Lawn = maker.Lawn with { Units = UnitSystem.Metric };
        Assert.Contains("Soil at 10 cm", Facts(maker).Keys);
    }

    [Fact]
    public void The_latest_reading_that_the_soil_was_corrected_by_is_shown()
    {
        var maker = new MorningMaker();
        Assert.DoesNotContain("Corrected by your reading", Facts(maker).Keys);
        maker.Readings = [new(maker.At("16:00", -9), 14), new(maker.At("16:00", -2), 16)];
        Assert.Equal("61 °F on Mon May 11", Facts(maker)["Corrected by your reading"]);
    }

    [Fact]
    public void Data_notes_pass_through()
    {
        var maker = new MorningMaker();
        Assert.Equal(maker.Notes, maker.Briefing().Data);
    }

    [Fact]
    public void Thunder_is_warned_of_only_when_showers_are_about()
    {
        Assert.DoesNotContain(new MorningMaker().Briefing().Cautions, IsThunder);
        var showers = InventedMornings.All().Single(m => m.Name == "shower possible").Maker;
        Assert.Contains(showers.Briefing().Cautions, IsThunder);

        static bool IsThunder(Phrase p) => p.Format.Contains("thunder", StringComparison.Ordinal);
    }

    private static Dictionary<string, string> Facts(MorningMaker maker) =>
        maker
            .Briefing()
            .Facts.ToDictionary(f => f.Label.InUs(maker.Zone), f => f.Value.InUs(maker.Zone));

    private static IEnumerable<Phrase> Texts(Briefing briefing) =>
        [
            briefing.Headline,
            .. briefing.Mowing.Reasons.SelectMany(r => new[] { r.Text, r.Evidence, r.Threshold }),
            .. briefing.Cautions,
            .. briefing.Facts.SelectMany(f => new[] { f.Label, f.Value }),
        ];
}
