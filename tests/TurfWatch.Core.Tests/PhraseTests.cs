using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests;

public sealed class PhraseTests
{
    [Fact]
    public void A_phrase_keeps_its_numbers_until_a_reader_is_known()
    {
        var phrase = Phrase.Of($"Soil {Quantity.TemperatureC(14.2)} at {new LocalTime(6, 30)}");

        Assert.Equal("Soil {0} at {1}", phrase.Format);
        Assert.Equal(Quantity.TemperatureC(14.2), phrase.Arguments[0]);
        Assert.Equal(new LocalTime(6, 30), phrase.Arguments[1]);
    }

    [Fact]
    public void A_bare_number_is_refused_because_nobody_knows_its_unit()
    {
        var error = Assert.Throws<ArgumentException>(() => Phrase.Of($"Soil {14.2}"));

        Assert.Contains("holds a Double", error.Message, StringComparison.Ordinal);
    }
}
