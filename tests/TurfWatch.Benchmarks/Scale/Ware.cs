using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Physics;
using TurfWatch.Mail;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>Invented subscribers, weather and messages, in the shapes that real ones have.</summary>
internal static class Ware
{
    /// <summary>Ten minutes before the messages of a May morning in Kentucky fall due.</summary>
    public static readonly Instant Now = Instant.FromUtc(2025, 5, 31, 10, 20);

    /// <summary>The real time, for leases and windows.</summary>
    public static Instant Clock => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());

    public static readonly LocalDate Today = new(2025, 5, 31);

    public static readonly Instant Due = Instant.FromUtc(2025, 5, 31, 10, 30);

    public static readonly SenderOptions Sender = new()
    {
        FromName = "TurfWatch",
        FromAddress = "lawn@example.org",
        PostalAddress = "12 Elm Street, Lexington, KY 40502",
        PublicBaseUrl = new Uri("https://lawn.example.org/"),
        OwnerAddress = "keeper@example.org",
    };

    private static readonly GrassKind[] Grasses =
    [
        GrassKind.TallFescue,
        GrassKind.KentuckyBluegrass,
        GrassKind.PerennialRyegrass,
        GrassKind.Bermuda,
    ];

    /// <summary>One of the lawns of a county: four sorts of grass, sun and shade, watered or not.</summary>
    public static Lawn Lawn(int i, string zip = "40502") =>
        new()
        {
            Name = $"Lawn {i}",
            Place = new(zip, "Lexington", "KY", 38.01, -84.48, "America/New_York"),
            Grass = Grasses[i % Grasses.Length],
            MessageTime = new LocalTime(6, 30),
            AreaM2 = 300,
            Irrigated = i % 2 == 0,
        };

    /// <summary>92 past days and seven to come, as the store would give them.</summary>
    public static CellWeather Weather(int site)
    {
        var first = (Now - Duration.FromDays(92)) - BenchmarkWeather.Start;
        var hours = BenchmarkWeather.Hours(99 * 24, site, (int)first.TotalDays);
        return new(
            hours,
            [],
            [
                new(DataSubject.Forecast, "Invented", Now, DataStanding.Fresh),
                new(DataSubject.Observations, "Invented", Now, DataStanding.Fresh),
                new(DataSubject.History, "Invented", Now, DataStanding.Fresh),
                new(DataSubject.Hazards, "Invented", Now, DataStanding.Fresh),
            ]
        );
    }

    /// <summary>What is to be told to so many different lawns.</summary>
    public static Briefing[] Briefings(int count)
    {
        var made = new Briefing[count];
        for (var i = 0; i < count; i++)
        {
            var weather = Weather(i);
            var site = SiteModel
                .Run(BenchmarkWeather.Site(0), BenchmarkWeather.Lawn, weather.Hours, Now)
                .Conditions;
            made[i] = MorningBriefing.Build(Lawn(i), LawnRecord.Empty, site, weather, Now, Today);
        }

        return made;
    }
}
