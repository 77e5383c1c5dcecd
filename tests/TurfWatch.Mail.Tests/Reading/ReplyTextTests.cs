using TurfWatch.Mail.Reading;
using Xunit;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>The quoting habits of mail programs, as their replies look; the texts are our own.</summary>
public sealed class ReplyTextTests
{
    [Theory]
    [InlineData("mowed 2 in\n\n> Mow later today\n> STOP", "mowed 2 in")]
    [InlineData(
        "Mowed 2 in\n\nOn Wed, Nov 25, 2026 at 6:31 AM TurfWatch <lawn@example.org> wrote:\n\nSTOP",
        "Mowed 2 in"
    )]
    [InlineData(
        "Mowed\n\nOn Wed, Nov 25, 2026 at 6:31 AM TurfWatch\n<lawn@example.org> wrote:\n\n> STOP",
        "Mowed"
    )]
    [InlineData(
        "mowed 2 in\n\n________________________________\nFrom: TurfWatch <lawn@example.org>\nSent: Wednesday\nSTOP",
        "mowed 2 in"
    )]
    [InlineData(
        "mowed 2 in\n\nFrom: TurfWatch <lawn@example.org>\nDate: Wednesday, 25 November 2026\nSTOP",
        "mowed 2 in"
    )]
    [InlineData("mowed\n-----Original Message-----\nSTOP", "mowed")]
    [InlineData("mowed\n\nSent from my phone", "mowed")]
    [InlineData("mowed\n-- \nA. Owner\nSTOP Street 5", "mowed")]
    [InlineData("gemäht\n\nAm 25.11.2026 um 06:31 schrieb TurfWatch:\n> STOP", "gemäht")]
    [InlineData(
        "hecho\n\nEl mié, 25 nov 2026 a las 6:31, TurfWatch (<lawn@example.org>) escribió:\n\nSTOP",
        "hecho"
    )]
    [InlineData(
        "fait\r\n\r\nLe mer. 25 nov. 2026 à 06:31, TurfWatch <lawn@example.org> a écrit :\r\n\r\nSTOP",
        "fait"
    )]
    [InlineData("\u200bmowed\u00a02 in\n> x", "mowed 2 in")]
    [InlineData("> STOP\nmowed", "")]
    public void Only_what_the_sender_wrote_above_the_quotation(string text, string own) =>
        Assert.Equal(own, string.Join('|', ReplyText.OwnLines(text)));

    [Fact]
    public void No_more_than_ten_lines_and_three_hundred_characters_each()
    {
        var lines = ReplyText.OwnLines(
            string.Join('\n', Enumerable.Repeat(new string('x', 1000), 50))
        );
        Assert.Equal(ReplyText.MostLines, lines.Count);
        Assert.All(lines, l => Assert.Equal(ReplyText.LongestLine, l.Length));
    }

    [Fact]
    public void A_sentence_that_begins_like_a_quotation_is_read() =>
        Assert.Equal(
            ["On Monday I mowed at 2 in"],
            ReplyText.OwnLines("On Monday I mowed at 2 in")
        );
}
