using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>Subject, headline and cautions of the digest.</summary>
internal static class DigestWording
{
    /// <summary>The cautions that hold for every week's work.</summary>
    public static ImmutableArray<Phrase> Cautions { get; } =
    [
        Phrase.Of(
            $"The label of a product is the law: its rate, its interval and its protective gear come before anything here."
        ),
        Phrase.Of(
            $"Local rules on fertilizer, watering and pesticides come first; ask your extension office when in doubt."
        ),
    ];

    public static Phrase Subject(
        LawnYear year,
        ImmutableArray<SeasonWindow> windows,
        ImmutableArray<LawnTask> tasks
    ) =>
        (Pressing(windows), Next(windows), tasks) switch
        {
            ([var one], _, _) => Stands(year.Date, one),
            ([var one, ..] all, _, _) => Phrase.Of(
                $"{Stands(year.Date, one)}; {all.Length - 1} more this week"
            ),
            (_, _, [var work]) => work.Title,
            (_, _, [var work, ..]) => Phrase.Of($"{work.Title}; {tasks.Length - 1} more"),
            (_, { } next, _) => Phrase.Of($"nothing to do; next: {Comes(year.Date, next)}"),
            _ => Phrase.Of($"Your lawn this week, {year.Date}"),
        };

    /// <summary>What presses; else the week's first works; then what comes next.</summary>
    public static Phrase Headline(
        LocalDate today,
        ImmutableArray<SeasonWindow> windows,
        ImmutableArray<LawnTask> tasks
    )
    {
        var pressing = Pressing(windows);
        // Never both: who is called to sow is not sent on to what keeps seed from coming up.
        var next = Next(pressing.Any(Sows) ? [.. windows.Where(w => !StopsSeed(w))] : windows);
        var now = (pressing, tasks) switch
        {
            ([var one, var two, ..], _) => Phrase.Of(
                $"{Stands(today, one)}. {Stands(today, two)}."
            ),
            ([var one], _) => Phrase.Of($"{Stands(today, one)}."),
            (_, [var work]) => Phrase.Of($"{work.Title}."),
            (_, [var work, var more, ..]) => Phrase.Of($"{work.Title}. {more.Title}."),
            _ => Phrase.Of($"No window of the season presses this week."),
        };
        return pressing.Length < 2 && next is not null
            ? Phrase.Of($"{now} Next: {Comes(today, next)}.")
            : now;
    }

    // Work that not every lawn needs, open for months: it leads no message while there is time.
    private static bool Patient(SeasonWindow window) =>
        window.Kind is WindowKind.CoreAeration or WindowKind.Dethatching;

    private static SeasonWindow[] Pressing(ImmutableArray<SeasonWindow> windows) =>
        [
            .. windows
                .Where(w =>
                    (
                        w.Standing == WindowStanding.ClosingSoon
                        || (w.Standing == WindowStanding.Open && !Patient(w))
                    )
                    // An event, such as the first frost, does not stand open.
                    && w.Closes is not null
                    && !w.Steps.IsDefaultOrEmpty
                )
                .OrderBy(Patient),
        ];

    private static bool Sows(SeasonWindow window) =>
        window.Kind is WindowKind.Overseed or WindowKind.CoolSeasonSeeding;

    private static bool StopsSeed(SeasonWindow window) =>
        window.Kind is WindowKind.WinterWeedPreEmergent or WindowKind.CrabgrassPreEmergent;

    private static SeasonWindow? Next(ImmutableArray<SeasonWindow> windows) =>
        windows.FirstOrDefault(w =>
            w.Standing == WindowStanding.Ahead && w.Opens.Median is not null
        );

    private static Phrase Comes(LocalDate today, SeasonWindow window) =>
        window.Opens.Median is { } date && date > today
            ? Phrase.Of($"{window.Name}, about {date}")
            : Phrase.Of($"{window.Name}, any day now");

    // The best days come before the last one: whoever reads only this should not put it off.
    private static Phrase Stands(LocalDate today, SeasonWindow window) =>
        (window.Standing, window.Best, window.Closes?.Median) switch
        {
            (WindowStanding.ClosingSoon, _, { } date) => Phrase.Of(
                $"{window.Name}: closing soon, about {date}"
            ),
            (WindowStanding.ClosingSoon, _, _) => Phrase.Of($"{window.Name}: closing soon"),
            // Seed opens nothing and has no best days: it comes up.
            (_, { Latest: { } until }, _) when window.Kind == WindowKind.Germination => Phrase.Of(
                $"{window.Name}: due by {until}"
            ),
            (_, { Earliest: { } from, Latest: { } until }, _) when from > today => Phrase.Of(
                $"{window.Name}: open, best from {from} to {until}"
            ),
            (_, { Latest: { } until }, _) when until >= today => Phrase.Of(
                $"{window.Name}: open, best until {until}"
            ),
            (_, _, { } date) => Phrase.Of($"{window.Name}: open until about {date}"),
            _ => Phrase.Of($"{window.Name}: open now"),
        };
}
