using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// The daily weather of about twenty past years at a place, the raw material of <see cref="PlaceClimate"/> and of
/// the season outlook. One entry for every day from the first to the last, in order; what is not known is NaN.
/// </summary>
/// <param name="Days">The days, without a hole.</param>
public sealed record PastYears(ImmutableArray<ClimateDay> Days)
{
    /// <summary>The first day.</summary>
    public LocalDate First => Days[0].Date;

    /// <summary>The last day.</summary>
    public LocalDate Last => Days[^1].Date;

    private const byte Version = 1;

    // °C, m/s and MJ/m² to 0.01, rain to 0.05 mm (up to 1.6 m a day).
    private static readonly double[] Steps = [0.01, 0.01, 0.01, 0.05, 0.01, 0.01, 0.01];

    /// <summary>Bytes for the store; about 100 kB for twenty years.</summary>
    /// <exception cref="InvalidOperationException">The days have a hole, or there are none.</exception>
    public byte[] Pack()
    {
        if (Days.IsEmpty || Last != First.PlusDays(Days.Length - 1))
        {
            throw new InvalidOperationException(
                "the past years have a hole or no day; give one entry for every day, NaN where not known"
            );
        }

        double[] Column(Func<ClimateDay, double> of) => [.. Days.Select(of)];
        return PackedDays.Pack(
            Version,
            First,
            [
                Column(d => d.MeanC),
                Column(d => d.MinC),
                Column(d => d.MaxC),
                Column(d => d.RainMm),
                Column(d => d.DewPointC),
                Column(d => d.WindMS),
                Column(d => d.ShortwaveMJM2),
            ],
            Steps
        );
    }

    /// <summary>Reads what <see cref="Pack"/> wrote.</summary>
    /// <exception cref="FormatException">The bytes are of another version, empty or cut short: drop them and ask the service again.</exception>
    public static PastYears Unpack(byte[] bytes)
    {
        var (first, c) = PackedDays.Unpack(
            bytes,
            Version,
            Steps,
            "past years",
            "drop them and ask for them again"
        );
        return new([
            .. Enumerable
                .Range(0, c[0].Length)
                .Select(i => new ClimateDay(
                    first.PlusDays(i),
                    c[0][i],
                    c[1][i],
                    c[2][i],
                    c[3][i],
                    c[4][i],
                    c[5][i],
                    c[6][i]
                )),
        ]);
    }
}
