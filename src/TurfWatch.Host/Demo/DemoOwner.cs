using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Demo;

/// <summary>
/// Does what the messages say, within a few days and not always: sows, feeds, cuts low in spring, and writes it down.
/// </summary>
internal sealed class DemoOwner(DemoHousehold household, Dice dice)
{
    // A shower this size is no weather to spread anything in [mm].
    private const double TooWetMm = 8;

    private readonly Dictionary<string, (LocalDate Day, JournalEntry Deed)> _plans = new(
        StringComparer.Ordinal
    );
    private readonly List<JournalEntry> _watched = [];

    /// <summary>Whether they mow when they may.</summary>
    public bool Mows() => dice.Even() < household.Diligence;

    /// <summary>
    /// What a window asks is done within a week of its best days, by the less diligent two weeks later; a reminder that
    /// it closes is acted on at the next chance.
    /// </summary>
    public void Hear(SeasonAlert alert)
    {
        var key = alert.Window.Key;
        if (
            alert.Event == WindowEvent.Closed
            || (_plans.TryGetValue(key, out var plan) && plan.Day <= alert.Date.PlusDays(1))
            || Deed(alert.Window) is not { } deed
        )
        {
            return;
        }

        var window = alert.Window;
        var day = alert.Date.PlusDays(1);
        if (alert.Event == WindowEvent.Opened)
        {
            var best = window.Best?.Earliest ?? day;
            var last = window.Closes?.Median ?? LocalDate.MaxIsoValue;
            var idle = (int)(7 * dice.Even()) + (dice.Even() < household.Diligence ? 0 : 14);
            day = LocalDate.Min(LocalDate.Max(day, best).PlusDays(idle), LocalDate.Max(day, last));
        }

        _plans[key] = (day, deed);
    }

    /// <summary>What they do on a day; what rain prevents waits for the next.</summary>
    public IReadOnlyList<JournalEntry> Deeds(LocalDate date, double rainMm)
    {
        var done = new List<JournalEntry>();
        foreach (var (key, (day, deed)) in _plans.ToList())
        {
            if (day <= date && day != LocalDate.MinIsoValue && rainMm < TooWetMm)
            {
                var entry = deed with { Date = date };
                _plans[key] = (LocalDate.MinIsoValue, deed); // done; not planned again
                done.Add(entry);
                Watch(entry);
            }
        }

        done.AddRange(_watched.Where(w => w.Date == date));
        return done;
    }

    private void Watch(JournalEntry entry)
    {
        if (
            entry is { Kind: JournalKind.Seeded, Grass: { } grass }
            && Grasses.Of(grass).Germination is { } germination
        )
        {
            var days =
                germination.DaysMin
                + (int)((germination.DaysMax - germination.DaysMin) * dice.Even());
            _watched.Add(
                new(0, JournalKind.Germinated, entry.Date.PlusDays(days), null) { Grass = grass }
            );
        }
    }

    private JournalEntry? Deed(SeasonWindow window) =>
        window.Kind switch
        {
            WindowKind.Overseed => Sow(window.Grass, SeedPurpose.WinterOverseed),
            WindowKind.CoolSeasonSeeding => Sow(window.Grass, SeedPurpose.ThinLawn),
            WindowKind.FirstRyeFeeding or WindowKind.RyeFeeding => Feed(
                window.Grass,
                Grasses.Of(window.Grass).WinterOverseedNitrogen ?? Grasses.Of(window.Grass).Nitrogen
            ),
            WindowKind.FinalFallFeeding
            or WindowKind.SummerFeeding
            or WindowKind.CoolFallFeeding
            or WindowKind.LateFallFeeding => Feed(window.Grass, Grasses.Of(window.Grass).Nitrogen),
            WindowKind.SpringScalp => new(
                0,
                JournalKind.Mowed,
                default,
                Grasses.Of(window.Grass).SpringScalpCm?.Value
            ),
            _ => null,
        };

    private JournalEntry? Sow(GrassKind named, SeedPurpose purpose)
    {
        // A window on overseeding may speak of the base; what is sown is the rye.
        var grass =
            purpose == SeedPurpose.WinterOverseed ? household.Lawn.Overseed ?? named : named;
        return SeedAmounts.Rate(grass, purpose) is { } rate
            ? new(0, JournalKind.Seeded, default, rate.UsualGM2) { Grass = grass }
            : null;
    }

    private JournalEntry Feed(GrassKind grass, NitrogenNeed need)
    {
        var nitrogen = (need.FeedingMinGM2 + need.FeedingMaxGM2) / 2;
        var grade = household.Lawn.Fertilizer;
        return new(0, JournalKind.Fed, default, nitrogen)
        {
            PhosphateGM2 = nitrogen * grade?.PhosphatePercent / grade?.NitrogenPercent,
            PotashGM2 = nitrogen * grade?.PotashPercent / grade?.NitrogenPercent,
            Grass = grass,
        };
    }
}
