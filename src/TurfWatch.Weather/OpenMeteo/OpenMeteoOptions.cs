using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.OpenMeteo;

/// <summary>Open-Meteo: an optional second source. Its free service is for non-commercial use only.</summary>
public sealed class OpenMeteoOptions : OriginOptions
{
    public const string Section = "Weather:OpenMeteo";

    private const string FreeHost = "api.open-meteo.com";

    public OpenMeteoOptions()
    {
        Enabled = false;
        BaseAddress = new Uri("https://" + FreeHost);
    }

    /// <summary>Key of a paid plan; empty for the free service or a server of one's own.</summary>
    public string ApiKey { get; set; } = "";

    /// <summary>The credit that messages show when they used its data.</summary>
    public string Attribution { get; set; } = "Weather data by Open-Meteo.com";

    /// <summary>How long an answer serves before it is asked for again.</summary>
    public TimeSpan FreshFor { get; set; } = TimeSpan.FromHours(1);

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

        if (!ApiKey.All(char.IsAsciiLetterOrDigit))
        {
            yield return $"{section}:ApiKey holds signs other than letters and digits; write the key as it was given, or leave it empty.";
        }
        else if (ApiKey.Length > 0 && BaseAddress is { IsAbsoluteUri: true, Host: FreeHost })
        {
            yield return $"{section}:BaseAddress is '{BaseAddress}', the free service, but a key is set; write https://customer-api.open-meteo.com.";
        }

        if (string.IsNullOrWhiteSpace(Attribution))
        {
            yield return $"{section}:Attribution is empty; its licence asks for a credit: write 'Weather data by Open-Meteo.com'.";
        }

        if (FreshFor < TimeSpan.FromMinutes(15) || FreshFor > TimeSpan.FromHours(12))
        {
            yield return $"{section}:FreshFor is {FreshFor}; write a time span from 00:15:00 to 12:00:00.";
        }
    }
}
