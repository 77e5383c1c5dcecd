using CsCheck;
using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class MowingDecisionPropertyTests
{
    // Chances of wet leaves for the ends of the hours 6 to 20, falling; chances of rain for the same.
    private static readonly Gen<double[]> Drying = Gen.Double[0, 100]
        .Array[14]
        .Select(a => a.OrderDescending().ToArray());

    private static readonly Gen<double[]> RainChances = Gen.Frequency(
        (3, Gen.Const(0.0)),
        (2, Gen.Double[0, 100])
    ).Array[18];

    private static readonly Gen<(int From, int Length, int Minutes)> Wishes = Gen.Select(
        Gen.Int[4, 14],
        Gen.Int[1, 12],
        Gen.Int[15, 180]
    );

    [Fact]
    public void The_window_fits_the_owner_the_light_and_the_mowing_and_no_rule_forbids_it() =>
        Gen.Select(Drying, RainChances, Wishes)
            .Sample(
                (drying, rain, wish) =>
                {
                    var maker = Make(drying, rain);
                    maker.Lawn = maker.Lawn with
                    {
                        MowFrom = new(wish.From, 0),
                        MowUntil = new(Math.Min(23, wish.From + wish.Length), 0),
                        MowingTime = Duration.FromMinutes(wish.Minutes),
                    };
                    var decided = MowingDecision.Decide(maker.Build());
                    var advice = decided.Advice;
                    var advised = advice.Verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom;
                    Assert.Equal(advised, advice.From is not null);
                    if (advice is not { From: { } from, Until: { } until })
                    {
                        return;
                    }

                    var sun = Sun.ForDate(maker.Date, maker.Zone, 34.75, -92.28);
                    Assert.True(from >= maker.Now);
                    Assert.Equal(advice.Verdict == MowingVerdict.MowNow, from == maker.Now);
                    Assert.True(until - from >= maker.Lawn.MowingTime);
                    Assert.True(from >= maker.At($"{wish.From:00}:00"));
                    Assert.True(
                        until <= maker.At($"{Math.Min(23, wish.From + wish.Length):00}:00")
                    );
                    Assert.True(from >= sun.Sunrise && until <= sun.Sunset);
                    Assert.DoesNotContain(
                        decided.Holds,
                        h => h.Kind != HoldKind.Care && h.Within(new(from, until)) > Duration.Zero
                    );
                }
            );

    [Fact]
    public void A_later_dry_off_never_gives_an_earlier_window() =>
        Gen.Select(Drying, Gen.Double[0, 60])
            .Sample(
                (drying, more) =>
                {
                    var wetter = drying.Select(c => Math.Min(100, c + more)).ToArray();
                    Assert.True(Start(Make(wetter, [])) >= Start(Make(drying, [])));
                }
            );

    [Fact]
    public void More_rain_never_makes_a_wait_shorter() =>
        Gen.Select(Drying, RainChances, Gen.Int[0, 17], Gen.Double[0, 100])
            .Sample(
                (drying, rain, at, more) =>
                {
                    var rainier = rain.ToArray();
                    rainier[at] = Math.Min(100, rainier[at] + more);
                    Assert.True(Start(Make(drying, rainier)) >= Start(Make(drying, rain)));
                }
            );

    [Fact]
    public void Hours_that_vanish_from_the_forecast_never_open_a_window() =>
        Gen.Select(Drying, Gen.Int[7, 20])
            .Sample(
                (drying, horizon) =>
                {
                    var seen = Make(drying, []);
                    var blind = Make(drying, []);
                    blind.Set(blind.WetChance, horizon, 72, double.NaN);
                    Assert.True(Start(blind) >= Start(seen));
                    Assert.True(
                        blind.Decide().Until is not { } until
                            || until <= blind.At($"{horizon:00}:00")
                    );
                }
            );

    private static MorningMaker Make(double[] drying, double[] rain)
    {
        var maker = new MorningMaker().DewUntil(drying);
        for (var i = 0; i < rain.Length; i++)
        {
            maker.Set(WeatherColumn.PrecipitationProbabilityPercent, 5 + i, 6 + i, rain[i]);
        }

        return maker;
    }

    // No window counts as later than any.
    private static Instant Start(MorningMaker maker) => maker.Decide().From ?? Instant.MaxValue;
}
