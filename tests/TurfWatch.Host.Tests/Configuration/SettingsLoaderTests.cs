using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using Xunit;

namespace TurfWatch.Host.Tests.Configuration;

public sealed class SettingsLoaderTests : IDisposable
{
    private const string Contact = "\"Weather\": { \"Contact\": \"ops@example.org\" }";

    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private Settings Load(string json) =>
        SettingsLoader.Load(_scratch.Write("t.json", json), _scratch.Folder);

    private IReadOnlyList<string> FaultsOf(string json) =>
        Assert.Throws<SettingsException>(() => Load(json)).Faults;

    [Fact]
    public void The_file_wins_over_the_defaults_and_may_hold_comments()
    {
        var settings = Load(
            $$"""
            {
              // who to ask
              {{Contact}},
              "Jobs": { "MorningLead": "00:45:00" }, /* earlier */
            }
            """
        );

        Assert.Equal(TimeSpan.FromMinutes(45), settings.Get<JobsOptions>().MorningLead);
        Assert.Equal("http://127.0.0.1:5080", settings.Get<WebOptions>().Listen);
    }

    [Fact]
    public void Three_faults_are_told_together_each_with_key_value_and_cure()
    {
        var faults = FaultsOf(
            $$"""
            {
              {{Contact}},
              "Jobs": { "MorningLead": "soon", "FetchParallel": 0 },
              "Web": { "Listne": "http://127.0.0.1:1" }
            }
            """
        );

        Assert.Equal(3, faults.Count);
        Assert.Contains(
            faults,
            f => f.StartsWith("Jobs:MorningLead is 'soon'", StringComparison.Ordinal)
        );
        Assert.Contains(
            faults,
            f => f.StartsWith("Jobs:FetchParallel is 0; write", StringComparison.Ordinal)
        );
        Assert.Contains(
            "Web:Listne is not an option of this program; did you mean Web:Listen?",
            faults
        );
    }

    [Fact]
    public void A_plain_number_is_no_duration()
    {
        // .NET would read "45" as 45 days.
        var fault = Assert.Single(FaultsOf($$"""{ {{Contact}}, "Jobs": { "MorningLead": 45 } }"""));

        Assert.Contains("is not a duration", fault, StringComparison.Ordinal);
    }

    [Fact]
    public void Text_that_is_not_json_is_told_with_its_line()
    {
        var faults = FaultsOf("{\n  \"Web\": {\n    \"Listen\": http\n  }\n}");

        Assert.Contains(faults, f => f.Contains("is not valid JSON", StringComparison.Ordinal));
        Assert.Contains(faults, f => f.Contains("LineNumber: 2", StringComparison.Ordinal));
    }

    [Fact]
    public void A_named_file_that_is_not_there_is_a_fault()
    {
        var e = Assert.Throws<SettingsException>(() =>
            SettingsLoader.Load("nowhere.json", _scratch.Folder)
        );

        Assert.Contains(
            e.Faults,
            f => f.Contains("--config names 'nowhere.json'", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void A_secret_file_fills_the_option_and_wins_over_the_file()
    {
        var secret = _scratch.Write("secret", "lawn@example.org\n");
        var settings = Load(
            $$"""
            { {{Contact}}, "Mail": { "Sender": { "FromAddress": "old@example.org", "FromAddressFile": "{{secret}}" } } }
            """
        );

        Assert.Equal("lawn@example.org", settings.Get<SenderOptions>().FromAddress);
    }

    [Fact]
    public void A_relay_without_a_postal_address_is_refused()
    {
        var faults = FaultsOf(
            $$"""
            { {{Contact}}, "Mail": { "Smtp": { "Host": "smtp.example.org" }, "Sender": { "FromAddress": "lawn@example.org" } } }
            """
        );

        Assert.Contains("PostalAddress", Assert.Single(faults), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("kitten", "sitting", 3)] // the textbook example of Levenshtein's distance
    [InlineData("flaw", "lawn", 2)]
    [InlineData("Web", "web", 0)]
    public void Distance_counts_edits(string a, string b, int edits) =>
        Assert.Equal(edits, UnknownKeys.Distance(a, b));
}
