using CsCheck;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using Xunit;

namespace TurfWatch.Host.Tests.Answers;

/// <summary>Whatever is written, nothing breaks, and nothing impossible is written down.</summary>
public sealed class AnswerReaderPropertyTests
{
    private static readonly LocalDateTime Now = new(2026, 3, 1, 0, 5);

    private static readonly string[] Pieces =
    [
        "mowed",
        "fed",
        "seeded",
        "watered",
        "soil",
        "pause until",
        "set",
        "stop",
        "not",
        "?",
        "yesterday",
        "tomorrow",
        "feb 30",
        "feb 29",
        "11/31",
        "on 2/29",
        "in 3 weeks",
        "2 1/2",
        "1/0",
        "½",
        "-5",
        "1e9",
        "40",
        "in",
        "cm",
        "F",
        "°",
        "\"",
        "21-0-0",
        "60-60-60",
        "lb",
        "per 1000",
        "/1000",
        "kg",
        "%",
        "{{ x }}",
        "=1+1",
        "<b>",
        "7:61 pm",
        "12 am",
        "0:00",
        "9999-12-31",
        "0001-01-01",
        "two",
        "a half",
        "99999999999999999999",
        "٣",
        "\u202e",
        "\0",
        ",",
    ];

    private static readonly Gen<string> Piece = Gen.Int[0, Pieces.Length - 1]
        .Select(i => Pieces[i]);

    private static readonly Gen<string> Lines = Gen.OneOf(
        Piece.Array[1, 8].Select(p => string.Join(' ', p)),
        Gen.String[0, 80],
        Gen.Select(Piece, Gen.String[0, 40], (a, b) => a + b)
    );

    [Fact]
    public void Ten_thousand_lines_are_read_without_harm() =>
        Lines.Sample(
            line =>
            {
                foreach (var answer in AnswerReader.Read([line], Now, UnitSystem.UsCustomary))
                {
                    if (answer is Did did)
                    {
                        Assert.InRange(did.Date, Now.Date.PlusDays(-400), Now.Date);
                        Assert.True(Possible(did), $"'{line}' became {did}");
                    }
                    else if (answer is Pause { Until: { } until })
                    {
                        Assert.InRange(until, Now.Date.PlusDays(1), Now.Date.PlusYears(1));
                    }
                }
            },
            iter: 10_000
        );

    private static bool Possible(Did did) =>
        did.Kind switch
        {
            JournalKind.Mowed => did.Amount is null or (>= 0.5 and <= 15),
            JournalKind.Watered => did.Amount is null or (> 0 and <= 200)
                && did.Minutes is null or (> 0 and <= 1440),
            JournalKind.SoilMeasured => did.Amount is >= -30 and <= 60,
            JournalKind.Fed => did.Amount is null or (> 0 and <= 25)
                && did.WholeLawnKg is null or (> 0 and <= 5000),
            JournalKind.Seeded => did.Amount is null or (> 0 and <= 200)
                && did.WholeLawnKg is null or (> 0 and <= 5000),
            _ => true,
        };
}
