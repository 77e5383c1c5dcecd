using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.NasaPower;

/// <summary>NASA POWER: the weather of the past weeks, from analyses.</summary>
public sealed class NasaPowerOptions : OriginOptions
{
    public const string Section = "Weather:NasaPower";

    private const int LongestUser = 32;

    private static readonly string[] ReservedUsers = ["anonymous"];

    public NasaPowerOptions()
    {
        BaseAddress = new Uri("https://power.larc.nasa.gov");
        AttemptTimeout = TimeSpan.FromSeconds(30); // its answers take seconds
        TotalTimeout = TimeSpan.FromSeconds(90);
        Retries = 2;
        RetryDelay = TimeSpan.FromSeconds(3);
        RetryDelayMax = TimeSpan.FromSeconds(30);
        PastKept = TimeSpan.FromDays(14);
    }

    /// <summary>How this installation names itself to NASA POWER: letters and digits only.</summary>
    public string User { get; set; } = "turfwatch";

    /// <summary>Age from which past hours no longer change and are not asked for again within a month.</summary>
    public TimeSpan SettledAfter { get; set; } = TimeSpan.FromDays(10);

    /// <summary>How long an answer about the newest days serves before it is asked for again.</summary>
    public TimeSpan RecentFreshFor { get; set; } = TimeSpan.FromHours(12);

    /// <inheritdoc/>
    public override IEnumerable<string> Faults(string section)
    {
        foreach (var fault in base.Faults(section))
        {
            yield return fault;
        }

        if (!Enabled)
        {
            yield break;
        }

        if (User.Length is 0 or > LongestUser || !User.All(char.IsAsciiLetterOrDigit))
        {
            yield return $"{section}:User is '{User}'; write 1 to {LongestUser} letters and digits, nothing else.";
        }
        else if (ReservedUsers.Contains(User, StringComparer.OrdinalIgnoreCase))
        {
            yield return $"{section}:User is '{User}', a name that NASA POWER refuses; write one of your own.";
        }

        if (SettledAfter < TimeSpan.FromDays(7) || SettledAfter > TimeSpan.FromDays(60))
        {
            yield return $"{section}:SettledAfter is {SettledAfter}; write a time span from 7.00:00:00 to 60.00:00:00.";
        }

        if (RecentFreshFor < TimeSpan.FromHours(1) || RecentFreshFor > TimeSpan.FromDays(3))
        {
            yield return $"{section}:RecentFreshFor is {RecentFreshFor}; write a time span from 01:00:00 to 3.00:00:00.";
        }
    }
}
