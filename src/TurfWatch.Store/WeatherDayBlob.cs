using System.Buffers.Binary;
using System.Text;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// The 24 hours of one UTC day as bytes, little-endian:
/// version (1) · mask of columns that hold a value (2) · origin of each hour (24, index into the table;
/// 255 none) · count of origins (1), each: kind (1), issued at in seconds or long.MinValue (8), length of the source's
/// id (1), id in UTF-8 · each column in the mask: 24 singles, NaN for missing.
/// Values keep seven digits and are given back to four decimals, so that 32.2 comes back as 32.2.
/// </summary>
internal static class WeatherDayBlob
{
    public const int HoursPerDay = 24;

    private const byte Version = 1;
    private const byte NoOrigin = byte.MaxValue;
    private const float Largest = 10_000;
    private static readonly int ColumnCount = Enum.GetValues<WeatherColumn>().Length;

    /// <summary>Packs the hours of the day that begins at <paramref name="firstHourEnd"/> (00:00 UTC); others count as missing.</summary>
    public static byte[] Pack(WeatherSeries series, Instant firstHourEnd)
    {
        var start = series.IndexOf(firstHourEnd);
        using var stream = new MemoryStream();
        using var writer = new BinaryWriter(stream, Encoding.UTF8);
        var mask = 0;
        for (var c = 0; c < ColumnCount; c++)
        {
            if (HasValue(series, c, start))
            {
                mask |= 1 << c;
            }
        }

        writer.Write(Version);
        writer.Write((ushort)mask);
        WriteOrigins(writer, series, start);
        for (var c = 0; c < ColumnCount; c++)
        {
            if ((mask & (1 << c)) == 0)
            {
                continue;
            }

            var column = series[(WeatherColumn)c];
            for (var h = 0; h < HoursPerDay; h++)
            {
                var i = start + h;
                writer.Write(i >= 0 && i < series.Count ? (float)column[i] : float.NaN);
            }
        }

        return stream.ToArray();
    }

    /// <summary>The day as a series of 24 hours.</summary>
    /// <exception cref="InvalidDataException">The bytes are damaged, or of another version.</exception>
    public static WeatherSeries Unpack(byte[] blob, Instant firstHourEnd)
    {
        if (blob.Length == 0 || blob[0] != Version)
        {
            throw new InvalidDataException(
                $"weather of {firstHourEnd} is packed in form {(blob.Length > 0 ? blob[0] : -1)}; this program knows form {Version}"
            );
        }

        try
        {
            return UnpackWhole(blob, firstHourEnd);
        }
        catch (Exception e)
            when (e is InvalidDataException or ArgumentException or IndexOutOfRangeException)
        {
            throw new InvalidDataException(
                $"weather of {firstHourEnd} is damaged ({blob.Length} bytes): {e.Message}",
                e
            );
        }
    }

    private static WeatherSeries UnpackWhole(byte[] blob, Instant firstHourEnd)
    {
        var builder = new WeatherSeriesBuilder(firstHourEnd, HoursPerDay);
        var mask = BinaryPrimitives.ReadUInt16LittleEndian(blob.AsSpan(1));
        var at = 3 + HoursPerDay;
        var origins = new HourOrigin[blob[at++]];
        for (var o = 0; o < origins.Length; o++)
        {
            var kind = (HourKind)blob[at];
            var issued = BinaryPrimitives.ReadInt64LittleEndian(blob.AsSpan(at + 1));
            var length = blob[at + 9];
            origins[o] = new(
                kind,
                Encoding.UTF8.GetString(blob, at + 10, length),
                issued == long.MinValue ? null : Instant.FromUnixTimeSeconds(issued)
            );
            if (!Enum.IsDefined(kind))
            {
                throw new InvalidDataException(
                    $"an hour is of kind {blob[at]}, which there is not"
                );
            }

            at += 10 + length;
        }

        for (var h = 0; h < HoursPerDay; h++)
        {
            var index = blob[3 + h];
            builder.Origins[h] = index == NoOrigin ? HourOrigin.None : origins[index];
        }

        for (var c = 0; c < ColumnCount; c++)
        {
            if ((mask & (1 << c)) == 0)
            {
                continue;
            }

            var column = builder[(WeatherColumn)c];
            for (var h = 0; h < HoursPerDay; h++, at += sizeof(float))
            {
                var value = BinaryPrimitives.ReadSingleLittleEndian(blob.AsSpan(at));
                // No column holds more; a bit that flipped in an exponent does.
                if (Math.Abs(value) > Largest)
                {
                    throw new InvalidDataException($"{(WeatherColumn)c} is {value}");
                }

                column[h] = Math.Round(value, 4);
            }
        }

        if (at != blob.Length)
        {
            throw new InvalidDataException($"{blob.Length - at} bytes are left over");
        }

        return builder.Build();
    }

    private static bool HasValue(WeatherSeries series, int column, int start)
    {
        var first = Math.Max(0, start);
        var last = Math.Min(series.Count, start + HoursPerDay);
        foreach (var value in series[(WeatherColumn)column][first..last])
        {
            if (!double.IsNaN(value))
            {
                return true;
            }
        }

        return false;
    }

    private static void WriteOrigins(BinaryWriter writer, WeatherSeries series, int start)
    {
        var table = new List<HourOrigin>();
        for (var h = 0; h < HoursPerDay; h++)
        {
            var i = start + h;
            if (i < 0 || i >= series.Count || series.Origins[i].Kind == HourKind.Missing)
            {
                writer.Write(NoOrigin);
                continue;
            }

            var index = table.IndexOf(series.Origins[i]);
            if (index < 0)
            {
                index = table.Count;
                table.Add(series.Origins[i]);
            }

            writer.Write((byte)index);
        }

        writer.Write((byte)table.Count);
        foreach (var origin in table)
        {
            var source = Encoding.UTF8.GetBytes(origin.Source);
            writer.Write((byte)origin.Kind);
            writer.Write(origin.IssuedAt?.ToUnixTimeSeconds() ?? long.MinValue);
            writer.Write(checked((byte)source.Length));
            writer.Write(source);
        }
    }
}
