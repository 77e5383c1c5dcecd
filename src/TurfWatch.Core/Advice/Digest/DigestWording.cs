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

    public static Phrase Subject(LawnYear year, ImmutableArray<SeasonWindow> windows) =>
        (Pressing(windows), Next(windows)) switch
        {
            ([var one], _) => Phrase.Of($"{one.Name}: {Short(one)}"),
            ([var one, ..] all, _) => Phrase.Of(
                $"{one.Name}: {Short(one)}; {all.Length - 1} more this week"
            ),
            (_, { Opens.Median: { } date } next) => Phrase.Of($"next: {next.Name}, about {date}"),
            _ => Phrase.Of($"Your lawn this week, {year.Date}"),
        };

    public static Phrase Headline(ImmutableArray<SeasonWindow> windows) =>
        (Pressing(windows), Next(windows)) switch
        {
            ([var one, var two, ..], _) => Phrase.Of($"{Stands(one)}. {Stands(two)}."),
            ([var one], { Opens.Median: { } date } next) => Phrase.Of(
                $"{Stands(one)}. Next: {next.Name}, about {date}."
            ),
            ([var one], _) => Phrase.Of($"{Stands(one)}."),
            (_, { Opens.Median: { } date } next) => Phrase.Of(
                $"No window presses this week. Next: {next.Name}, about {date}."
            ),
            _ => Phrase.Of($"No window of the season presses this week."),
        };

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

    private static SeasonWindow? Next(ImmutableArray<SeasonWindow> windows) =>
        windows.FirstOrDefault(w =>
            w.Standing == WindowStanding.Ahead && w.Opens.Median is not null
        );

    private static string Short(SeasonWindow window) =>
        window.Standing == WindowStanding.ClosingSoon ? "closing soon" : "open now";

    private static Phrase Stands(SeasonWindow window) =>
        (window.Standing, window.Closes?.Median) switch
        {
            (WindowStanding.ClosingSoon, { } date) => Phrase.Of(
                $"{window.Name}: closing soon, about {date}"
            ),
            (WindowStanding.ClosingSoon, _) => Phrase.Of($"{window.Name}: closing soon"),
            (_, { } date) => Phrase.Of($"{window.Name}: open until about {date}"),
            _ => Phrase.Of($"{window.Name}: open now"),
        };
}
