using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>Subject and headline of an alert.</summary>
internal static class AlertWording
{
    /// <summary>The subject line: what, and what happened to it.</summary>
    /// <param name="today">The day of the alert.</param>
    /// <param name="window">The window.</param>
    /// <param name="what">What happened to it.</param>
    public static Phrase Subject(LocalDate today, SeasonWindow window, WindowEvent what)
    {
        var name = Short(window.Kind);
        return (window.Kind, what, window.Closes?.Median) switch
        {
            (WindowKind.FirstFreeze, _, _) => Phrase.Of(
                $"First freeze expected {Night(today, window)}"
            ),
            (WindowKind.Germination, WindowEvent.Opened, _) => Phrase.Of(
                $"New seed should be coming up"
            ),
            (WindowKind.Germination, WindowEvent.ClosingSoon, _) => Phrase.Of(
                $"New seed should be up by now"
            ),
            (WindowKind.SummerStress, _, _) => Phrase.Of($"Summer heat has reached the lawn"),
            (WindowKind.SpringTransition, _, _) => Phrase.Of($"Spring transition has begun"),
            (_, WindowEvent.Opened, _) => Phrase.Of($"{name} window open"),
            (_, WindowEvent.ClosingSoon, { } date) => Phrase.Of(
                $"{name} window closes about {date}"
            ),
            (_, WindowEvent.ClosingSoon, _) => Phrase.Of($"{name} window closes soon"),
            _ => Phrase.Of($"{name} window has closed"),
        };
    }

    /// <summary>What, and why now, in a sentence or two.</summary>
    public static Phrase Headline(LocalDate today, SeasonWindow window, WindowEvent what) =>
        (window.Kind, what) switch
        {
            (WindowKind.FirstFreeze, _) => Phrase.Of(
                $"The air is expected to fall to {Quantity.TemperatureC(0)} {Night(today, window)}, for the first time this season."
            ),
            (WindowKind.Germination or WindowKind.SummerStress, _)
                when window.Why.FirstOrDefault() is { } why => why.Text,
            (_, WindowEvent.Opened) => Opened(today, window),
            (_, WindowEvent.ClosingSoon) => Closing(window),
            _ => Written(window.Kind)
                ? Phrase.Of(
                    $"{window.Name}: over, and nothing in your journal says that it was done. If you did it, write it down; if not, it is too late for this season."
                )
                : Phrase.Of(
                    $"{window.Name}: over. If it was not done, it is too late for this season."
                ),
        };

    // The least of a day comes mostly before its sunrise, now and then before its midnight: the next day's is tonight or tomorrow.
    private static Phrase Night(LocalDate today, SeasonWindow window) =>
        window.Opens.Median!.Value is var day && day <= today ? Phrase.Of($"today or tonight")
        : day == today.PlusDays(1) ? Phrase.Of($"tonight or tomorrow")
        : Phrase.Of($"about {day}");

    private static Phrase Opened(LocalDate today, SeasonWindow window) =>
        (window.Best, window.Closes?.Median) switch
        {
            ({ Earliest: { } from, Latest: { } until }, { } last) when until < today => Phrase.Of(
                $"{window.Name}: the best dates, {from} to {until}, are past, but it can still be done until about {last}."
            ),
            ({ Earliest: { } from, Latest: { } until }, { } last) => Phrase.Of(
                $"{window.Name}: now is the time, best between {from} and {until}, likely to close about {last}."
            ),
            (_, { } last) => Phrase.Of($"{window.Name}: now is the time, until about {last}."),
            _ => Phrase.Of($"{window.Name}: now is the time; when it closes cannot be said yet."),
        };

    private static Phrase Closing(SeasonWindow window) =>
        (window.Closes?.Median, Written(window.Kind)) switch
        {
            ({ } date, true) => Phrase.Of(
                $"{window.Name}: time is running out. About {date} is the last day that we would count on, and your journal does not say that it is done."
            ),
            ({ } date, false) => Phrase.Of(
                $"{window.Name}: time is running out. About {date} is the last day that we would count on."
            ),
            _ => Phrase.Of($"{window.Name}: time is running out."),
        };

    // Work that the journal can hold.
    private static bool Written(WindowKind kind) =>
        FeedPlan.Windows.Contains(kind)
        || kind is WindowKind.Overseed or WindowKind.CoolSeasonSeeding;

    // A few words that stand before "window".
    private static string Short(WindowKind kind) =>
        kind switch
        {
            WindowKind.Overseed => "Overseed",
            WindowKind.CoolSeasonSeeding => "Fall seeding",
            WindowKind.Germination => "Germination",
            WindowKind.FirstRyeFeeding => "First rye feeding",
            WindowKind.RyeFeeding => "Rye feeding",
            WindowKind.FinalFallFeeding => "Last fall feeding",
            WindowKind.SummerFeeding => "Summer feeding",
            WindowKind.CoolFallFeeding => "Fall feeding",
            WindowKind.LateFallFeeding => "Late-fall feeding",
            WindowKind.WinterWeedPreEmergent => "Winter-weed pre-emergent",
            WindowKind.CrabgrassPreEmergent => "Crabgrass pre-emergent",
            WindowKind.SpringScalp => "Spring low cut",
            WindowKind.SpringTransition => "Spring transition",
            WindowKind.SummerStress => "Summer stress",
            WindowKind.CoreAeration => "Core aeration",
            WindowKind.Dethatching => "Dethatching",
            WindowKind.Dormancy => "Dormancy",
            WindowKind.FirstFrost => "First frost",
            WindowKind.FirstFreeze => "First freeze",
            WindowKind.GreenUp => "Green-up",
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "use a named window"),
        };
}
