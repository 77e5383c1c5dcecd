using System.Net;
using System.Text.RegularExpressions;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>The two parts of the message tell the same, alone, without asking anyone else for anything.</summary>
public sealed partial class MessageBodyTests
{
    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public void Text_and_HTML_hold_the_same_numbers(string name)
    {
        var parts = Render(name);
        Assert.Equal(Numbers(VisibleText(parts.Html)), Numbers(WithoutLinks(parts.Text)));
        Assert.NotEmpty(Numbers(parts.Text));
    }

    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public void HTML_is_small_whole_and_asks_for_nothing_remote(string name)
    {
        // The pictures of a preview are in it; those of a message go beside it.
        var html = Regex.Replace(
            Render(name).Html,
            "<img src=\"data:image/png;base64,[^\"]*\" width=\"420\" alt=\"[^\"]*\"",
            "<inline-picture"
        );
        // Some mail services cut off what is longer than 102 kB, from hearsay; the link to leave is at the end.
        Assert.InRange(System.Text.Encoding.UTF8.GetByteCount(html), 2_000, 90_000);
        Assert.All(
            Regex.Matches(html, "<[^>]+>").Select(m => m.Value), // what is escaped has no "<"
            tag => Assert.DoesNotMatch("(?i)<img|<link|<script|<iframe|url\\(|@import|src=", tag)
        );
        Assert.Contains("<html lang=\"en\" dir=\"ltr\">", html, StringComparison.Ordinal);
        Assert.Matches("<title>[^<]+</title>", html);
        Assert.Single(Regex.Matches(html, "<h1\\b"));
        Assert.Contains(
            "name=\"color-scheme\" content=\"light dark\"",
            html,
            StringComparison.Ordinal
        );
        Assert.Contains("prefers-color-scheme: dark", html, StringComparison.Ordinal);
        Assert.All(
            Regex.Matches(html, "<table[^>]*>").Select(m => m.Value),
            t =>
                Assert.True(
                    t.Contains("role=\"presentation\"", StringComparison.Ordinal)
                        || t.Contains("aria-labelledby", StringComparison.Ordinal),
                    t
                )
        );
    }

    [Fact]
    public void Markup_in_names_stays_text_and_nothing_turns_the_writing_around()
    {
        var parts = Render("odd");
        Assert.Contains("&lt;b onclick", parts.Html, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", parts.Html, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("<script>alert(1)</script>", parts.Text, StringComparison.Ordinal); // harmless there
        Assert.DoesNotContain('\u202E', parts.Html + parts.Text);
        Assert.DoesNotContain(
            "without_a_single_break_that_goes_on",
            parts.Text,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Both_parts_say_how_old_the_data_are_and_what_is_missing()
    {
        var parts = Render("stale");
        foreach (var part in new[] { Flat(parts.Text), Flat(VisibleText(parts.Html)) })
        {
            Assert.Contains(
                "Forecast is older than usual: US National Weather Service, as of 7:20 pm yesterday, 11 hours old.",
                part,
                StringComparison.Ordinal
            );
            Assert.Contains("Station readings: not available", part, StringComparison.Ordinal);
            Assert.Contains("Warnings could not be fetched", part, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void One_day_that_is_missing_is_told_by_its_date()
    {
        var briefing = Samples.Dew() with
        {
            Data =
            [
                new(
                    DataSubject.History,
                    "",
                    null,
                    DataStanding.Missing,
                    "What was kept of this day is damaged; it is fetched again"
                )
                {
                    Day = new(2026, 11, 18),
                },
            ],
        };

        var parts = TestComposer.Make().Render(briefing, Samples.Reader);

        foreach (var part in new[] { Flat(parts.Text), Flat(VisibleText(parts.Html)) })
        {
            Assert.Contains(
                "Past weeks: Wednesday, Nov 18 is missing. What was kept of this day is damaged; it is fetched again.",
                part,
                StringComparison.Ordinal
            );
        }
    }

    [Fact]
    public void Past_years_that_are_missing_are_told_at_the_foot_not_as_an_alarm()
    {
        var briefing = Samples.Dew() with
        {
            Data = [new(DataSubject.Climate, "", null, DataStanding.Missing, "nobody was asked")],
        };

        var text = TestComposer.Make().Render(briefing, Samples.Reader).Text;

        Assert.DoesNotContain("MIND THE DATA", text, StringComparison.Ordinal);
        var foot = text[text.IndexOf("WHERE THIS COMES FROM", StringComparison.Ordinal)..];
        Assert.Contains("Past years: not available", foot, StringComparison.Ordinal);
    }

    [Fact]
    public void A_reason_for_missing_data_begins_like_a_sentence()
    {
        var briefing = Samples.Dew() with
        {
            Data = [new(DataSubject.Hazards, "", null, DataStanding.Missing, "nobody was asked")],
        };
        var text = Flat(TestComposer.Make().Render(briefing, Samples.Reader).Text);
        Assert.Contains(
            "Warnings: not available. Nobody was asked.",
            text,
            StringComparison.Ordinal
        );
    }

    [Theory]
    [InlineData("dew", "10:30 am", "58 °F", "3.75 inches", "09:40")]
    [InlineData("frost", "09:40", "14.2 °C", "7.5 cm", "10:30 am")]
    public void The_reader_gets_units_and_clock_of_choice(
        string name,
        string clock,
        string soil,
        string height,
        string foreign
    )
    {
        var text = Flat(Render(name).Text);
        Assert.Contains(clock, text, StringComparison.Ordinal);
        Assert.Contains(soil, text, StringComparison.Ordinal);
        Assert.Contains(height, text, StringComparison.Ordinal);
        Assert.DoesNotContain(foreign, text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public void Both_parts_name_who_sends_it_and_how_to_leave(string name)
    {
        var parts = Render(name);
        foreach (var part in new[] { Flat(parts.Text), Flat(VisibleText(parts.Html)) })
        {
            Assert.Contains("Stop these messages", part, StringComparison.Ordinal);
            Assert.Contains("12 Elm Street, Georgetown, TX 78626", part, StringComparison.Ordinal);
        }

        Assert.All(
            parts.Text.Split('\n').Where(l => !l.StartsWith("https:", StringComparison.Ordinal)),
            l => Assert.True(l.Length <= 90, l)
        );
    }

    [Fact]
    public void A_preview_says_that_nothing_was_sent_and_has_no_link_to_leave()
    {
        var parts = TestComposer.Make().Render(Samples.Dew());
        Assert.Contains(
            "This is a preview; nothing was sent.",
            parts.Text,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain("/u/", parts.Html + parts.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("dew", "I mowed today, at 2.5 inches")]
    [InlineData("opened", "I fed it as advised: 0.5 lb per 1,000 sq ft of nitrogen, with 21-0-0")]
    [InlineData("closing", "I sowed the perennial ryegrass as advised: 10 lb per 1,000 sq ft")]
    [InlineData("week", "I fed it as advised: 0.5 lb per 1,000 sq ft of nitrogen")]
    public void What_is_advised_can_be_written_down_by_a_link_when_there_is_an_address_for_it(
        string name,
        string words
    )
    {
        var parts = Render(name);
        var address = Regex
            .Match(parts.Text, @"^https://watch\.example\.org/done/(\S+)$", RegexOptions.Multiline)
            .Groups[1]
            .Value;
        Assert.Contains(words + ":", Flat(parts.Text), StringComparison.Ordinal);
        Assert.Contains(words, Flat(VisibleText(parts.Html)), StringComparison.Ordinal);
        Assert.Contains($"/done/{address}\"", parts.Html, StringComparison.Ordinal);
        var content = Samples.All[name];
        Assert.Equivalent(
            (content.Offers[0], content.Lawn.Id),
            TestComposer.Tokens.ReadOffer(address, content.MadeAt),
            strict: true
        );

        var here = new SenderOptions { FromAddress = "lawn@watch.example.org" };
        Assert.DoesNotContain(
            "WITH ONE CLICK",
            TestComposer.Make(here).Render(content, Samples.Reader).Text,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(
            "/done/",
            TestComposer.Make().Render(content).Text,
            StringComparison.Ordinal
        );
    }

    [Theory]
    [InlineData("dew", "I skip this mowing")]
    [InlineData("week", "I watered it as advised: 0.50 inch")]
    public void What_else_may_become_of_the_advice_has_a_link_of_its_own(string name, string words)
    {
        var parts = Render(name);
        var addresses = Regex
            .Matches(
                parts.Text,
                @"^https://watch\.example\.org/done/(\S+)$",
                RegexOptions.Multiline
            )
            .Select(m => m.Groups[1].Value);
        var content = Samples.All[name];

        Assert.Equal(
            content.Offers,
            addresses.Select(a => TestComposer.Tokens.ReadOffer(a, content.MadeAt)!.Value.Offer)
        );
        Assert.Contains(words + ":", Flat(parts.Text), StringComparison.Ordinal);
        Assert.Contains(words, Flat(VisibleText(parts.Html)), StringComparison.Ordinal);
    }

    [Fact]
    public void Unknown_numbers_are_said_to_be_unknown()
    {
        var briefing = Samples.Dew() with
        {
            Facts = [new(Phrase.Of($"Soil"), Phrase.Of($"{Quantity.TemperatureC(double.NaN)}"))],
        };
        Assert.Contains(
            "Soil: unknown",
            TestComposer.Make().Render(briefing).Text,
            StringComparison.Ordinal
        );
        Assert.Contains("?", Render("odd").Text, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", Render("odd").Html, StringComparison.Ordinal);
    }

    [Fact]
    public void An_hour_that_is_open_in_part_is_marked_fine_from_its_minute_on_in_both_parts()
    {
        var dew = Samples.Dew();
        var opening = dew.Hours[3];
        var parts = TestComposer
            .Make()
            .Render(
                dew with
                {
                    Hours = dew.Hours.SetItem(
                        3,
                        opening with
                        {
                            OpenFrom = opening.HourEnd - NodaTime.Duration.FromMinutes(45),
                        }
                    ),
                },
                Samples.Reader
            );
        Assert.Matches("\\+ from \\d+:15 am", parts.Text);
        Assert.Matches("✓\\s+from \\d+:15.am", VisibleText(parts.Html));
    }

    [Fact]
    public void A_source_that_failed_is_named_once()
    {
        var briefing = Samples.Dew() with
        {
            Data =
            [
                new(
                    DataSubject.History,
                    "NASA POWER Project",
                    null,
                    DataStanding.Missing,
                    "NASA POWER Project could not be reached."
                ),
            ],
        };
        Assert.Contains(
            "Past weeks: not available. NASA POWER Project could not be reached.",
            Flat(TestComposer.Make().Render(briefing).Text),
            StringComparison.Ordinal
        );
    }

    private static ComposedParts Render(string name) =>
        TestComposer.Make().Render(Samples.All[name], Samples.Reader);

    internal static string VisibleText(string html)
    {
        var body = html[html.IndexOf("</head>", StringComparison.Ordinal)..];
        body = Regex.Replace(
            body,
            "<div style=\"display:none[^>]*>.*?</div>",
            "",
            RegexOptions.Singleline
        );
        return WebUtility.HtmlDecode(Regex.Replace(body, "<[^>]*>", " "));
    }

    private static string WithoutLinks(string text) =>
        Regex.Replace(text, @"^(https:.*|mailto:.*)", "", RegexOptions.Multiline);

    private static List<string> Numbers(string text) =>
        [.. Number().Matches(text).Select(m => m.Value).Order(StringComparer.Ordinal)];

    private static string Flat(string text) =>
        Regex.Replace(text.Replace('\u00A0', ' '), @"\s+", " ");

    [GeneratedRegex(@"-?\d+(?:[.:,]\d+)*")]
    private static partial Regex Number();
}
