using TurfWatch.Weather.Http;
using Xunit;

namespace TurfWatch.Weather.Tests.Http;

public sealed class WeatherOptionsTests
{
    [Fact]
    public void The_defaults_lack_only_a_contact()
    {
        var fault = Assert.Single(new WeatherOptions().Faults());
        Assert.StartsWith("Weather:Contact is ''", fault, StringComparison.Ordinal);
        Assert.Empty(new WeatherOptions { Contact = "me@example.test" }.Faults());
    }

    [Fact]
    public void Without_the_service_that_asks_for_it_no_contact_is_needed()
    {
        var options = new WeatherOptions();
        options.Nws.Enabled = false;
        Assert.Empty(options.Faults());
    }

    [Fact]
    public void All_faults_are_told_together_each_with_its_key()
    {
        var options = new WeatherOptions
        {
            Contact = "me\r\nX-Evil: 1",
            ProductName = "",
            CacheMegabytes = 0,
            MaxConcurrentPerOrigin = 99,
            RetryBudgetRatio = double.NaN,
            RetryBudgetBurst = -1,
        };
        options.Nws.BaseAddress = new("ftp://example.test");
        options.Nws.Retries = 9;
        options.Nws.AttemptTimeout = TimeSpan.FromSeconds(90);
        options.Nws.MaxBodyBytes = 1;
        options.Nws.ForecastStaleAfter = TimeSpan.FromDays(9);
        options.Nws.CellKept = TimeSpan.Zero;
        options.Nws.StationHeightDifferenceM = double.NaN;
        var faults = options.Faults().ToList();
        string[] keys =
        [
            "Weather:Contact",
            "Weather:ProductName",
            "Weather:CacheMegabytes",
            "Weather:MaxConcurrentPerOrigin",
            "Weather:RetryBudgetRatio",
            "Weather:RetryBudgetBurst",
            "Weather:Nws:BaseAddress",
            "Weather:Nws:TotalTimeout",
            "Weather:Nws:Retries",
            "Weather:Nws:MaxBodyBytes",
            "Weather:Nws:ForecastStaleAfter",
            "Weather:Nws:CellKept",
            "Weather:Nws:StationHeightDifferenceM",
        ];
        Assert.All(
            keys,
            key => Assert.Single(faults, f => f.StartsWith($"{key} is ", StringComparison.Ordinal))
        );
        Assert.Equal(keys.Length, faults.Count);
    }
}
