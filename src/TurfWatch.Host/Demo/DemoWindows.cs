using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;

namespace TurfWatch.Host.Demo;

/// <summary>Follows the windows of a season from day to day: when each really stood open, and when it was done.</summary>
internal sealed class DemoWindows
{
    private readonly Dictionary<string, DemoWindow> _windows = new(StringComparer.Ordinal);

    /// <summary>Those that opened, by date.</summary>
    public IReadOnlyList<DemoWindow> All =>
        [.. _windows.Values.OrderBy(w => w.OpenFrom).ThenBy(w => w.Key, StringComparer.Ordinal)];

    public void Hear(SeasonTold told)
    {
        var date = told.Year.Date;
        var say = new PhraseText(told.Year.Lawn, date);
        foreach (var window in told.Windows.Where(w => w.Closes is not null))
        {
            var known = _windows.GetValueOrDefault(window.Key);
            switch (window.Standing)
            {
                case WindowStanding.Open or WindowStanding.ClosingSoon:
                    _windows[window.Key] = known is null
                        ? new(window.Key, say.Of(window.Name), date, date, null)
                        : known with
                        {
                            OpenUntil = date,
                        };
                    break;
                case WindowStanding.Done when known is { DoneOn: null }:
                    _windows[window.Key] = known with { DoneOn = date.PlusDays(-1) };
                    break;
            }
        }
    }
}
