using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class SoilTestWordsTests
{
    [Theory]
    [InlineData("2026-03-10,ph=7.9,k=180ppm")]
    [InlineData("ph=7.9 2026-03-10; K=180")]
    [InlineData("k=180mg/kg,ph=7.9,2026-03-10")]
    public void The_date_may_stand_anywhere(string text)
    {
        var faults = new List<string>();
        Assert.Equal(
            new SoilTest
            {
                Date = new LocalDate(2026, 3, 10),
                Ph = 7.9,
                PotassiumMgKg = 180,
            },
            SoilTestWords.Read("--test", text, faults)
        );
        Assert.Empty(faults);
    }

    [Fact]
    public void Of_two_dates_nobody_knows_which_is_meant()
    {
        var faults = new List<string>();
        Assert.Null(SoilTestWords.Read("--test", "2026-03-10,ph=7.9,2026-04-10", faults));
        Assert.StartsWith(
            "--test is '2026-03-10,ph=7.9,2026-04-10'; write one date",
            Assert.Single(faults),
            StringComparison.Ordinal
        );
    }
}
