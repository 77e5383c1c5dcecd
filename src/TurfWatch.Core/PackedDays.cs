using System.Buffers.Binary;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// Columns of days as bytes for the store: a version, the first day, the number of days, then each column in two
/// bytes a value. What is not known has a mark of its own; a value out of the range of two bytes is cut to it.
/// </summary>
internal static class PackedDays
{
    private const int HeadBytes = 9;
    private const short Unknown = short.MinValue;

    // A thousand years to both sides of 1970 are dates that the calendar knows.
    private const int MostDays = 365_000;
    private static readonly LocalDate DayZero = new(1970, 1, 1);

    /// <summary>Packs.</summary>
    /// <param name="version">Version of the content.</param>
    /// <param name="first">The first day.</param>
    /// <param name="columns">Columns of one length.</param>
    /// <param name="steps">The step in which each column is kept.</param>
    public static byte[] Pack(byte version, LocalDate first, double[][] columns, double[] steps)
    {
        var count = columns[0].Length;
        var bytes = new byte[HeadBytes + (2 * count * columns.Length)];
        bytes[0] = version;
        BinaryPrimitives.WriteInt32LittleEndian(
            bytes.AsSpan(1),
            Period.DaysBetween(DayZero, first)
        );
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(5), count);
        var at = HeadBytes;
        for (var c = 0; c < columns.Length; c++)
        {
            foreach (var value in columns[c])
            {
                var kept = double.IsNaN(value)
                    ? Unknown
                    : (short)
                        Math.Clamp(
                            Math.Round(value / steps[c]),
                            short.MinValue + 1,
                            short.MaxValue
                        );
                BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(at), kept);
                at += 2;
            }
        }

        return bytes;
    }

    /// <summary>Reads what <see cref="Pack"/> wrote.</summary>
    /// <param name="bytes">The bytes.</param>
    /// <param name="version">The version looked for.</param>
    /// <param name="steps">The step of each column.</param>
    /// <param name="what">What it is, for the error.</param>
    /// <param name="advice">What to do about an error.</param>
    /// <exception cref="FormatException">Another version, or cut short.</exception>
    public static (LocalDate First, double[][] Columns) Unpack(
        byte[] bytes,
        byte version,
        double[] steps,
        string what,
        string advice
    )
    {
        var count =
            bytes.Length >= HeadBytes ? BinaryPrimitives.ReadInt32LittleEndian(bytes.AsSpan(5)) : 0;
        if (
            bytes.Length < HeadBytes
            || bytes[0] != version
            || count < 0
            || bytes.Length != HeadBytes + (2L * count * steps.Length)
        )
        {
            throw new FormatException(
                $"{what} of {bytes.Length} bytes, version {(bytes.Length > 0 ? bytes[0] : -1)}; this program reads version {version}: {advice}"
            );
        }

        var day = BinaryPrimitives.ReadInt32LittleEndian(bytes.AsSpan(1));
        if (Math.Abs((long)day) + count > MostDays)
        {
            throw new FormatException($"{what} that begin on day {day}, which is no day: {advice}");
        }

        var first = DayZero.PlusDays(day);
        var at = HeadBytes;
        var columns = new double[steps.Length][];
        for (var c = 0; c < columns.Length; c++)
        {
            columns[c] = new double[count];
            for (var i = 0; i < count; i++)
            {
                var kept = BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan(at));
                columns[c][i] = kept == Unknown ? double.NaN : kept * steps[c];
                at += 2;
            }
        }

        return (first, columns);
    }
}
