using System.Buffers.Binary;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// What the physics keeps of one cell and surface class, so that the next run goes on from here rather than from
/// a guess. Small enough to keep for every lawn.
/// </summary>
public sealed record SiteState
{
    private const byte Version = 2;
    private const int Singles = 8;

    /// <summary>When it held: the end of an hour.</summary>
    public required Instant ValidAt { get; init; }

    /// <summary>Temperature of each soil layer [°C], from the top.</summary>
    public required IReadOnlyList<double> SoilTemperaturesC { get; init; }

    /// <summary>Ice in each soil layer [mm water].</summary>
    public required IReadOnlyList<double> SoilIceMm { get; init; }

    /// <summary>Water in each zone of the soil [mm].</summary>
    public required IReadOnlyList<double> SoilWaterMm { get; init; }

    /// <summary>Liquid water on the leaves [mm].</summary>
    public required double LeafWaterMm { get; init; }

    /// <summary>The part of it that condensed [mm].</summary>
    public required double DewMm { get; init; }

    /// <summary>Ice on the leaves [mm water].</summary>
    public required double FrostMm { get; init; }

    /// <summary>Mean soil temperature of about three weeks [°C].</summary>
    public required double SeasonC { get; init; }

    /// <summary>Snow on the ground [mm water].</summary>
    public double SnowMm { get; init; }

    /// <summary>Its depth [m].</summary>
    public double SnowDepthM { get; init; }

    /// <summary>Days of weather behind this state.</summary>
    public required double SpinUpDays { get; init; }

    /// <summary>Share of those hours whose weather was known [0-1].</summary>
    public required double HistoryCoverage { get; init; }

    /// <summary>Bytes for the store; under 300.</summary>
    public byte[] Pack()
    {
        var layers = SoilTemperaturesC.Count;
        var zones = SoilWaterMm.Count;
        var bytes = new byte[3 + 8 + (4 * ((2 * layers) + zones + Singles))];
        bytes[0] = Version;
        bytes[1] = (byte)layers;
        bytes[2] = (byte)zones;
        BinaryPrimitives.WriteInt64LittleEndian(bytes.AsSpan(3), ValidAt.ToUnixTimeSeconds());
        var at = 11;
        foreach (var list in (IReadOnlyList<double>[])[SoilTemperaturesC, SoilIceMm, SoilWaterMm])
        {
            foreach (var value in list)
            {
                Put(value);
            }
        }

        foreach (
            var value in (double[])
                [
                    LeafWaterMm,
                    DewMm,
                    FrostMm,
                    SeasonC,
                    SnowMm,
                    SnowDepthM,
                    SpinUpDays,
                    HistoryCoverage,
                ]
        )
        {
            Put(value);
        }

        return bytes;

        void Put(double value)
        {
            BinaryPrimitives.WriteSingleLittleEndian(bytes.AsSpan(at), (float)value);
            at += 4;
        }
    }

    /// <summary>Reads what <see cref="Pack"/> wrote.</summary>
    /// <exception cref="FormatException">The bytes are of another version or cut short: drop the state and spin up afresh.</exception>
    public static SiteState Unpack(byte[] bytes)
    {
        if (bytes.Length < 11 || bytes[0] != Version)
        {
            throw new FormatException(
                $"site state of version {(bytes.Length > 0 ? bytes[0] : -1)} and {bytes.Length} bytes; this program reads version {Version}: drop it and spin up afresh"
            );
        }

        int layers = bytes[1],
            zones = bytes[2];
        var expected = 11 + (4 * ((2 * layers) + zones + Singles));
        if (bytes.Length != expected)
        {
            throw new FormatException(
                $"site state of {bytes.Length} bytes where {expected} were expected: drop it and spin up afresh"
            );
        }

        var validAt = BinaryPrimitives.ReadInt64LittleEndian(bytes.AsSpan(3));
        if (
            validAt < Instant.MinValue.ToUnixTimeSeconds()
            || validAt > Instant.MaxValue.ToUnixTimeSeconds()
        )
        {
            throw new FormatException(
                $"site state of second {validAt}, which is no time: drop it and spin up afresh"
            );
        }

        var at = 11;
        return new SiteState
        {
            ValidAt = Instant.FromUnixTimeSeconds(validAt),
            SoilTemperaturesC = Take(layers),
            SoilIceMm = Take(layers),
            SoilWaterMm = Take(zones),
            LeafWaterMm = Get(),
            DewMm = Get(),
            FrostMm = Get(),
            SeasonC = Get(),
            SnowMm = Get(),
            SnowDepthM = Get(),
            SpinUpDays = Get(),
            HistoryCoverage = Get(),
        };

        double Get()
        {
            var value = BinaryPrimitives.ReadSingleLittleEndian(bytes.AsSpan(at));
            at += 4;
            return value;
        }

        double[] Take(int count)
        {
            var values = new double[count];
            for (var i = 0; i < count; i++)
            {
                values[i] = Get();
            }

            return values;
        }
    }
}
