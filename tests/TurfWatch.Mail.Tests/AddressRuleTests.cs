namespace TurfWatch.Mail.Tests;

/// <summary>Addresses by RFC 5321 and 5322 (length 254, local part 64), RFC 5891 for names in other scripts.</summary>
public sealed class AddressRuleTests
{
    [Theory]
    [InlineData("pat@example.org", "pat@example.org")]
    [InlineData("  pat@example.org \t", "pat@example.org")]
    [InlineData("Pat.Lawn+turf@Example.ORG", "Pat.Lawn+turf@example.org")]
    [InlineData("o'brien@mail.example.co.uk", "o'brien@mail.example.co.uk")]
    [InlineData("pat@bücher.example", "pat@xn--bcher-kva.example")] // RFC 3492's best-known label
    [InlineData("jörg@example.org", "jörg@example.org")]
    [InlineData("\"pat>sam\"@example.org", "\"pat>sam\"@example.org")] // RFC 5321 4.1.2: Quoted-string
    [InlineData("\"pat\\\"sam\\\\\"@example.org", "\"pat\\\"sam\\\\\"@example.org")]
    public void A_bare_address_is_taken(string typed, string stored)
    {
        var (normalised, problem) = AddressRule.Check(typed);
        Assert.Null(problem);
        Assert.Equal(stored, normalised);
        Assert.Equal(stored, AddressRule.Check(stored).Normalised);
    }

    [Theory]
    [InlineData("")]
    [InlineData("pat")]
    [InlineData("pat@")]
    [InlineData("@example.org")]
    [InlineData("pat@localhost")]
    [InlineData("pat@[192.0.2.1]")]
    [InlineData("pat@192.0.2.1")]
    [InlineData("Pat <pat@example.org>")]
    [InlineData("\"Pat\" <pat@example.org>")]
    [InlineData("<pat@example.org>")]
    [InlineData("pat@example.org, sam@example.org")]
    [InlineData("pat@example.org,sam@example.org")]
    [InlineData("friends:pat@example.org;")]
    [InlineData("pat@example.org\r\nBcc: sam@example.org")]
    [InlineData("pat\0@example.org")]
    [InlineData("\u200Bpat@example.org")] // pasted with an invisible sign before it
    [InlineData("pat@example.org\u200E")]
    [InlineData("pat@example..org")]
    [InlineData(".pat@example.org")]
    [InlineData("pat.@example.org")]
    [InlineData("pat(comment)@example.org")]
    [InlineData("pat@-example.org")]
    [InlineData("pat@exa_mple.org")]
    [InlineData("mailto:pat@example.org")]
    [InlineData("pat.\".sam@example.org>x\".y@example.org")] // quotes within a name with dots: RFC 5322 4.4 alone
    [InlineData("\"pat\".\"sam\"@example.org")]
    [InlineData("\"pat\\\\\"sam\"@example.org")]
    [InlineData("\"@example.org")]
    public void Anything_else_is_refused_with_a_sentence(string typed)
    {
        var (normalised, problem) = AddressRule.Check(typed);
        Assert.Null(normalised);
        Assert.EndsWith(".", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void The_length_limits_are_those_of_the_standard()
    {
        var longest =
            $"{new string('a', 64)}@{new string('b', 63)}.{new string('c', 63)}.{new string('d', 57)}.org";
        Assert.Equal(254, longest.Length);
        Assert.Equal(longest, AddressRule.Check(longest).Normalised);
        Assert.NotNull(AddressRule.Check("a" + longest[..64] + longest[64..]).Problem);
        Assert.NotNull(
            AddressRule.Check(longest.Replace("d.org", "dd.org", StringComparison.Ordinal)).Problem
        );
    }
}
