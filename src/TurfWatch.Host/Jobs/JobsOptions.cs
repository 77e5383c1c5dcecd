namespace TurfWatch.Host.Jobs;

public sealed class JobsOptions
{
    public const string Section = "Jobs";

    /// <summary>How often the service looks for weather to fetch.</summary>
    public TimeSpan FetchSweep { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>How often it looks for morning messages to work out.</summary>
    public TimeSpan MorningSweep { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>How often it looks for lawns whose alerts and digest are to be worked out.</summary>
    public TimeSpan SeasonSweep { get; set; } = TimeSpan.FromMinutes(1);

    /// <summary>How often it looks for messages to deliver.</summary>
    public TimeSpan DeliverSweep { get; set; } = TimeSpan.FromSeconds(20);

    /// <summary>How often it deletes what is past keeping.</summary>
    public TimeSpan PruneSweep { get; set; } = TimeSpan.FromHours(6);

    /// <summary>A cell's weather is fetched again when its last fetch is this old.</summary>
    public TimeSpan FetchEvery { get; set; } = TimeSpan.FromHours(1);

    /// <summary>Spreads the fetches of different cells over this span, so that they do not come in bursts.</summary>
    public TimeSpan FetchJitter { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>A cell whose fetch failed is tried again after this long.</summary>
    public TimeSpan FetchRetry { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>How many cells are fetched at once.</summary>
    public int FetchParallel { get; set; } = 8;

    /// <summary>A morning message is worked out this long before it is due.</summary>
    public TimeSpan MorningLead { get; set; } = TimeSpan.FromMinutes(20);

    /// <summary>When there is no forecast, a morning message waits this long past its time for one; then it goes out and says so.</summary>
    public TimeSpan MorningWait { get; set; } = TimeSpan.FromMinutes(30);

    /// <summary>Morning messages due at the same minute are sent over this span from that minute on (over less of it when fewer than 50 are due), each lawn always after the same share of it.</summary>
    public TimeSpan MorningSpread { get; set; } = TimeSpan.FromMinutes(5);

    /// <summary>A morning message is never sent later than this after it was due.</summary>
    public TimeSpan MorningLate { get; set; } = TimeSpan.FromMinutes(150);

    /// <summary>A lawn's alerts and digest are worked out this long after its morning message was due.</summary>
    public TimeSpan SeasonAfter { get; set; } = TimeSpan.FromMinutes(10);

    /// <summary>At most so many alerts of one lawn are sent on one day; the others follow on the next days.</summary>
    public int AlertsPerDay { get; set; } = 3;

    /// <summary>An alert is never sent later than this after the morning for which it was worked out.</summary>
    public TimeSpan AlertLate { get; set; } = TimeSpan.FromDays(5);

    /// <summary>A digest is never sent later than this after the morning of its day.</summary>
    public TimeSpan DigestLate { get; set; } = TimeSpan.FromDays(2);

    /// <summary>How long hours of weather are kept.</summary>
    public TimeSpan KeepWeather { get; set; } = TimeSpan.FromDays(800);

    /// <summary>How long the texts of messages are kept after they were sent or dropped.</summary>
    public TimeSpan KeepMessages { get; set; } = TimeSpan.FromDays(30);

    public IEnumerable<string> Faults()
    {
        foreach (
            var (name, value, least, most) in new[]
            {
                (nameof(FetchSweep), FetchSweep, TimeSpan.FromSeconds(1), TimeSpan.FromHours(1)),
                (
                    nameof(MorningSweep),
                    MorningSweep,
                    TimeSpan.FromSeconds(1),
                    TimeSpan.FromMinutes(10)
                ),
                (
                    nameof(DeliverSweep),
                    DeliverSweep,
                    TimeSpan.FromSeconds(1),
                    TimeSpan.FromMinutes(10)
                ),
                (
                    nameof(SeasonSweep),
                    SeasonSweep,
                    TimeSpan.FromSeconds(1),
                    TimeSpan.FromMinutes(10)
                ),
                (nameof(PruneSweep), PruneSweep, TimeSpan.FromMinutes(1), TimeSpan.FromDays(7)),
                (nameof(FetchEvery), FetchEvery, TimeSpan.FromMinutes(30), TimeSpan.FromHours(6)),
                (nameof(FetchJitter), FetchJitter, TimeSpan.Zero, TimeSpan.FromHours(1)),
                (nameof(FetchRetry), FetchRetry, TimeSpan.FromMinutes(1), TimeSpan.FromHours(6)),
                (nameof(MorningLead), MorningLead, TimeSpan.FromMinutes(1), TimeSpan.FromHours(3)),
                (nameof(MorningWait), MorningWait, TimeSpan.Zero, TimeSpan.FromHours(2)),
                (nameof(MorningSpread), MorningSpread, TimeSpan.Zero, TimeSpan.FromMinutes(60)),
                (nameof(MorningLate), MorningLate, TimeSpan.FromMinutes(10), TimeSpan.FromHours(6)),
                (nameof(SeasonAfter), SeasonAfter, TimeSpan.Zero, TimeSpan.FromHours(6)),
                (nameof(AlertLate), AlertLate, TimeSpan.FromHours(12), TimeSpan.FromDays(14)),
                (nameof(DigestLate), DigestLate, TimeSpan.FromHours(12), TimeSpan.FromDays(6)),
                (
                    nameof(KeepWeather),
                    KeepWeather,
                    TimeSpan.FromDays(100),
                    TimeSpan.FromDays(36500)
                ),
                (nameof(KeepMessages), KeepMessages, TimeSpan.FromDays(1), TimeSpan.FromDays(3650)),
            }
        )
        {
            if (value < least || value > most)
            {
                yield return $"{Section}:{name} is {value:c}; write a duration from {least:c} to {most:c}.";
            }
        }

        if (MorningWait >= MorningLate)
        {
            yield return $"{Section}:{nameof(MorningWait)} is {MorningWait:c}, not less than {Section}:{nameof(MorningLate)} ({MorningLate:c}); write a shorter one.";
        }

        if (MorningSpread >= MorningLate)
        {
            yield return $"{Section}:{nameof(MorningSpread)} is {MorningSpread:c}, not less than {Section}:{nameof(MorningLate)} ({MorningLate:c}); write a shorter one.";
        }

        if (AlertsPerDay is < 1 or > 20)
        {
            yield return $"{Section}:{nameof(AlertsPerDay)} is {AlertsPerDay}; write a whole number from 1 to 20.";
        }

        if (FetchParallel is < 1 or > 32)
        {
            yield return $"{Section}:{nameof(FetchParallel)} is {FetchParallel}; write a whole number from 1 to 32.";
        }
    }
}
