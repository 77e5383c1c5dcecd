using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class DayNamesTests
{
    // 13 May 2026 is a Wednesday.
    private static readonly LocalDate Today = new(2026, 5, 13);

    [Theory]
    [InlineData("", new int[0])]
    [InlineData("today", new[] { 0 })]
    [InlineData("on Friday", new[] { 2 })]
    [InlineData("today and Friday", new[] { 0, 2 })]
    [InlineData("on Thursday, Saturday and Sunday", new[] { 1, 3, 4 })]
    [InlineData("from Thursday to Saturday", new[] { 1, 2, 3 })]
    [InlineData("from yesterday to Thursday", new[] { -1, 0, 1 })]
    public void Days_are_named_as_a_person_would(string told, int[] ahead) =>
        Assert.Equal(told, DayNames.Of([.. ahead.Select(d => Today.PlusDays(d))], Today));
}
