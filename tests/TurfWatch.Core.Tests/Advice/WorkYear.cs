using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Agronomy.Windows;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>A lawn's year whose sky and ground of these days a test may change, and windows to go with it.</summary>
internal static class WorkYear
{
    /// <summary>The year of a maker, with the hours of a morning that <paramref name="change"/> has changed.</summary>
    public static LawnYear Of(YearMaker maker, Action<MorningMaker>? change = null)
    {
        var morning = new MorningMaker(maker.Date);
        change?.Invoke(morning);
        var site = morning.Site();
        return maker.Build() with
        {
            Site = site,
            Weather = new(site.Weather, morning.Hazards, morning.Notes),
            Now = morning.Now,
        };
    }

    /// <summary>An open window.</summary>
    public static ImmutableArray<SeasonWindow> Open(
        WindowKind kind,
        GrassKind grass,
        WindowStanding standing = WindowStanding.Open
    ) =>
        [
            new()
            {
                Kind = kind,
                Season = 2026,
                Grass = grass,
                Name = Phrase.Of($"a window"),
                Standing = standing,
                Opens = DateSpread.On(new(2026, 1, 1)),
                Closes = DateSpread.On(new LocalDate(2026, 12, 1)),
                Steps = [],
                Why = [],
                Basis = OutlookBasis.ThisYear,
            },
        ];

    /// <summary>A lawn in another state.</summary>
    public static YearMaker In(this YearMaker maker, string state)
    {
        maker.Lawn = maker.Lawn with { Place = maker.Lawn.Place with { State = state } };
        return maker;
    }
}
