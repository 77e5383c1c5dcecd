using TurfWatch.Weather.NasaPower;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.OpenMeteo;

namespace TurfWatch.Weather.Http;

/// <summary>What all weather services share, and one section for each.</summary>
public sealed class WeatherOptions
{
    public const string Section = "Weather";

    /// <summary>Folder of kept answers; empty keeps none.</summary>
    public string CacheDirectory { get; set; } = "weather-cache";

    /// <summary>Largest size of that folder [MB]; the oldest answers go first.</summary>
    public int CacheMegabytes { get; set; } = 512;

    /// <summary>How this installation calls itself to the services.</summary>
    public string ProductName { get; set; } = "TurfWatch";

    /// <summary>An email address or web page by which a service can reach whoever runs this.</summary>
    public string Contact { get; set; } = "";

    /// <summary>Requests under way at one service at a time, 1 to 16.</summary>
    public int MaxConcurrentPerOrigin { get; set; } = 3;

    /// <summary>Extra tries that each request earns for the whole process, 0 to 1.</summary>
    public double RetryBudgetRatio { get; set; } = 0.1;

    /// <summary>Extra tries that may be saved up, 0 to 100.</summary>
    public int RetryBudgetBurst { get; set; } = 10;

    /// <summary>Days of past weather that the soil column is run on, 60 to 400.</summary>
    public int HistoryDays { get; set; } = 92;

    /// <summary>US National Weather Service.</summary>
    public NwsOptions Nws { get; set; } = new();

    /// <summary>NASA POWER.</summary>
    public NasaPowerOptions NasaPower { get; set; } = new();

    /// <summary>Open-Meteo, off by default.</summary>
    public OpenMeteoOptions OpenMeteo { get; set; } = new();

    /// <summary>The value of the User-Agent header.</summary>
    public string UserAgent => $"({ProductName}, {Contact})";

    /// <summary>One sentence for each fault of the values.</summary>
    public IEnumerable<string> Faults()
    {
        if (Nws.Enabled && (Contact.Length == 0 || !IsHeaderText(Contact)))
        {
            yield return $"{Section}:Contact is '{Contact}'; the National Weather Service refuses callers it cannot reach: write an email address or a web page.";
        }

        if (ProductName.Length == 0 || !IsHeaderText(ProductName))
        {
            yield return $"{Section}:ProductName is '{ProductName}'; write a name in plain letters without brackets.";
        }

        if (CacheDirectory.Contains('\0'))
        {
            yield return $"{Section}:CacheDirectory is '{CacheDirectory}'; write the path of a folder.";
        }

        if (CacheMegabytes is < 1 or > 1_000_000)
        {
            yield return $"{Section}:CacheMegabytes is {CacheMegabytes}; write a number from 1 to 1000000.";
        }

        if (MaxConcurrentPerOrigin is < 1 or > 16)
        {
            yield return $"{Section}:MaxConcurrentPerOrigin is {MaxConcurrentPerOrigin}; write a number from 1 to 16.";
        }

        if (RetryBudgetRatio is not (>= 0 and <= 1))
        {
            yield return $"{Section}:RetryBudgetRatio is {RetryBudgetRatio}; write a number from 0 to 1.";
        }

        if (RetryBudgetBurst is < 0 or > 100)
        {
            yield return $"{Section}:RetryBudgetBurst is {RetryBudgetBurst}; write a number from 0 to 100.";
        }

        if (HistoryDays is < 60 or > 400)
        {
            yield return $"{Section}:HistoryDays is {HistoryDays}; write a number from 60 to 400.";
        }

        var ofOrigins = Nws.Faults(NwsOptions.Section)
            .Concat(NasaPower.Faults(NasaPowerOptions.Section))
            .Concat(OpenMeteo.Faults(OpenMeteoOptions.Section));
        foreach (var fault in ofOrigins)
        {
            yield return fault;
        }
    }

    private static bool IsHeaderText(string text) =>
        text.All(c => c is > ' ' and < '\x7f' or ' ' && c is not ('(' or ')' or ','));
}
