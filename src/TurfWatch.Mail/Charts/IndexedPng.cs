using System.Buffers.Binary;
using System.IO.Compression;
using System.Text;
using SkiaSharp;

namespace TurfWatch.Mail.Charts;

/// <summary>
/// Writes a picture with a palette of at most 256 colors (ISO/IEC 15948, color type 3): a third of the size of the
/// encoder's full color, and each message carries several. Rarer shades take the nearest of the palette.
/// </summary>
internal static class IndexedPng
{
    private static readonly byte[] Signature = [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A];

    private static readonly uint[] CrcTable = MakeCrcTable();

    public static byte[] Encode(SKPixmap pixels)
    {
        var (width, height) = (pixels.Width, pixels.Height);
        var colors = pixels.GetPixelSpan<uint>(); // R, G, B, A in memory
        var palette = Palette(colors);
        var index = new Dictionary<uint, byte>();
        for (var i = 0; i < palette.Length; i++)
        {
            index[palette[i]] = (byte)i;
        }

        var rows = new byte[height * (width + 1)]; // each row begins with filter 0: none
        var (last, at) = (palette[0], (byte)0);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var color = colors[y * width + x];
                if (color != last)
                {
                    last = color;
                    if (!index.TryGetValue(color, out at))
                    {
                        at = Nearest(palette, color);
                        index[color] = at;
                    }
                }

                rows[y * (width + 1) + 1 + x] = at;
            }
        }

        using var png = new MemoryStream();
        png.Write(Signature);
        var head = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(head, width);
        BinaryPrimitives.WriteInt32BigEndian(head.AsSpan(4), height);
        (head[8], head[9]) = (8, 3);
        Chunk(png, "IHDR", head);
        Chunk(png, "PLTE", [.. palette.SelectMany(c => new[] { Red(c), Green(c), Blue(c) })]);
        Chunk(png, "IDAT", Deflated(rows));
        Chunk(png, "IEND", []);
        return png.ToArray();
    }

    // The most frequent colors; equals by their value, so that the order never changes.
    private static uint[] Palette(ReadOnlySpan<uint> colors)
    {
        var counts = new Dictionary<uint, int>();
        for (int from = 0, to; from < colors.Length; from = to)
        {
            to = from + 1; // most dots have the color of the one before
            while (to < colors.Length && colors[to] == colors[from])
            {
                to++;
            }

            counts[colors[from]] = counts.GetValueOrDefault(colors[from]) + to - from;
        }

        return
        [
            .. counts
                .OrderByDescending(c => c.Value)
                .ThenBy(c => c.Key)
                .Take(256)
                .Select(c => c.Key),
        ];
    }

    private static byte Nearest(uint[] palette, uint color)
    {
        var (best, least) = (0, int.MaxValue);
        for (var i = 0; i < palette.Length; i++)
        {
            var (r, g, b) = (
                Red(palette[i]) - Red(color),
                Green(palette[i]) - Green(color),
                Blue(palette[i]) - Blue(color)
            );
            var far = r * r + g * g + b * b;
            if (far < least)
            {
                (best, least) = (i, far);
            }
        }

        return (byte)best;
    }

    private static byte Red(uint color) => (byte)color;

    private static byte Green(uint color) => (byte)(color >> 8);

    private static byte Blue(uint color) => (byte)(color >> 16);

    private static byte[] Deflated(byte[] rows)
    {
        using var bytes = new MemoryStream();
        using (var zlib = new ZLibStream(bytes, CompressionLevel.Optimal, leaveOpen: true))
        {
            zlib.Write(rows);
        }

        return bytes.ToArray();
    }

    private static void Chunk(MemoryStream png, string type, byte[] data)
    {
        byte[] body = [.. Encoding.ASCII.GetBytes(type), .. data];
        var number = new byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
        png.Write(number);
        png.Write(body);
        BinaryPrimitives.WriteUInt32BigEndian(number, Crc(body));
        png.Write(number);
    }

    // ISO/IEC 15948, annex D.
    private static uint Crc(byte[] data)
    {
        var crc = 0xFFFFFFFFu;
        foreach (var b in data)
        {
            crc = CrcTable[(crc ^ b) & 0xFF] ^ (crc >> 8);
        }

        return ~crc;
    }

    private static uint[] MakeCrcTable()
    {
        var table = new uint[256];
        for (var n = 0u; n < 256; n++)
        {
            var c = n;
            for (var k = 0; k < 8; k++)
            {
                c = (c & 1) == 1 ? 0xEDB88320u ^ (c >> 1) : c >> 1;
            }

            table[n] = c;
        }

        return table;
    }
}
