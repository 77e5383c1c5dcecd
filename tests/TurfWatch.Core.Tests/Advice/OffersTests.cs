using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Advice.Digest;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>What messages offer to write down with one click: the work they advise, in the amounts they name, and nothing they advise against.</summary>
public sealed class OffersTests
{
    private static readonly LocalDate July = new(2026, 7, 8);

    public static TheoryData<string> Mornings => [.. InventedMornings.All().Select(m => m.Name)];

    [Theory]
    [MemberData(nameof(Mornings))]
    public void A_morning_offers_its_mowing_unless_it_says_not_today(string name)
    {
        var briefing = InventedMornings.All().Single(m => m.Name == name).Maker.Briefing();
        if (briefing.Mowing.Verdict == MowingVerdict.NotToday)
        {
            Assert.Empty(briefing.Offers);
            return;
        }

        var offer = briefing.Offers[0];
        Assert.Equal((JournalKind.Mowed, briefing.Date), (offer.Kind, offer.Date));
        // To leave it out is offered where it is advised, and nowhere else.
        Assert.Equal(
            briefing.Mowing.Verdict == MowingVerdict.Wait
                ? []
                : [new DeedOffer(JournalKind.MowingSkipped, briefing.Date, null)],
            briefing.Offers.Skip(1)
        );
        // What answers take for a height of cut.
        Assert.InRange(offer.Amount!.Value, 0.5, 15);
    }

    // Grass that got away is taken down in steps: what is written down is the first of them, not the height at the end.
    [Fact]
    public void A_lawn_that_got_away_is_offered_its_first_cut()
    {
        var maker = new MorningMaker().Mowed(24, 7.5);
        var briefing = maker.Briefing();
        var need = maker.Build().Need;
        Assert.Contains(
            briefing.Mowing.Reasons,
            r => r.Text.Format.Contains("got away", StringComparison.Ordinal)
        );
        var first = OneThirdRule.Steps(need.HeightCm, need.SetHeightCm)[0];
        Assert.True(first > need.SetHeightCm + 0.5);
        Assert.Equal(first, briefing.Offers[0].Amount!.Value, 9);
    }

    [Fact]
    public void Windows_advise_the_rate_that_their_amounts_name()
    {
        var rates = 0;
        foreach (var month in Enumerable.Range(1, 12))
        {
            var year = YearMaker.Rye(Town.ElPaso, new(2026, month, 5)).Build();
            foreach (var window in SeasonCalendar.Of(year))
            {
                if (window.AdvisedGM2 is not { } rate)
                {
                    continue;
                }

                rates++;
                Assert.Contains(
                    window.Amounts.SelectMany(a => a.Arguments).OfType<Quantity>(),
                    q => q.Kind == QuantityKind.AreaRate && Math.Abs(q.Value - rate) < 1e-9
                );
            }
        }

        Assert.InRange(rates, 20, 1000);
    }

    [Theory]
    [InlineData(WindowStanding.Open, true)]
    [InlineData(WindowStanding.ClosingSoon, true)]
    [InlineData(WindowStanding.Closed, false)]
    public void An_alert_offers_the_work_of_an_open_window(WindowStanding standing, bool offered)
    {
        var window = WorkYear.Open(WindowKind.Overseed, GrassKind.PerennialRyegrass, standing)[
            0
        ] with
        {
            Opens = DateSpread.On(July.PlusDays(-20)),
            Closes = DateSpread.On(July.PlusDays(standing == WindowStanding.Closed ? -2 : 8)),
            Steps = [Phrase.Of($"Sow.")],
            AdvisedGM2 = 48.8,
        };
        var alert = Assert.Single(
            SeasonAlerts.Of(YearMaker.Rye(Town.ElPaso, July).Build(), [window])
        );
        DeedOffer[] sowing =
        [
            new(JournalKind.Seeded, July, 48.8) { Grass = GrassKind.PerennialRyegrass },
        ];
        Assert.Equal(offered ? sowing : [], alert.Offers);
    }

    [Fact]
    public void A_feeding_is_offered_in_the_grade_at_hand_and_not_while_it_is_to_wait()
    {
        var maker = new YearMaker(Town.ElPaso, July);
        maker.Lawn = maker.Lawn with { Fertilizer = new(16, 4, 8) };
        ImmutableArray<SeasonWindow> windows =
        [
            WorkYear.Open(WindowKind.SummerFeeding, GrassKind.Bermuda)[0] with
            {
                AdvisedGM2 = 2.44,
            },
        ];
        Assert.Equal(
            new DeedOffer(JournalKind.Fed, July, 2.44) { Grade = new(16, 4, 8) },
            Assert.Single(FeedingTask.Of(WorkYear.Of(maker), windows)).Offer
        );
        var frozen = WorkYear.Of(maker, m => Array.Fill(m.Soil5, -0.5));
        Assert.Null(Assert.Single(FeedingTask.Of(frozen, windows)).Offer);
        Assert.Empty(WeeklyDigest.Build(frozen, windows).Offers);
    }
}
