using TurfWatch.Fuzz.Targets;

namespace TurfWatch.Fuzz;

/// <summary>Every parser that meets the outside.</summary>
internal static class AllTargets
{
    public static IReadOnlyList<FuzzTarget> Make() =>
        [
            .. WeatherTargets.Make(),
            .. MailTargets.Make(),
            .. ServerTargets.Make(),
            .. AnswerTargets.Make(),
            .. TokenTargets.Make(),
            .. FileTargets.Make(),
            .. StoreTargets.Make(),
            WebTarget.Make(),
        ];
}
