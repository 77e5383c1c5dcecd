using System.Globalization;
using System.IO.Compression;
using System.Text;
using TurfWatch.Core;

namespace TurfWatch.Weather.Places;

/// <summary>
/// The table of ZIP codes that <c>rebuild/build.mjs</c> writes: a line of zones, then one line a ZIP
/// code in rising order. It stays as bytes; only the line that is asked for is ever read.
/// </summary>
internal sealed class ZipTable
{
    private const int ZipLength = 5;

    private readonly byte[] _text;
    private readonly int _firstRow;
    private readonly string[] _zones;

    private ZipTable(byte[] text)
    {
        _text = text;
        _firstRow = Array.IndexOf(text, (byte)'\n') + 1;
        _zones = Encoding.UTF8.GetString(text, 0, _firstRow - 1).Split('\t')[1..];
    }

    public static ZipTable Load()
    {
        using var resource =
            typeof(ZipTable).Assembly.GetManifestResourceStream("places.tsv.gz")
            ?? throw new InvalidOperationException("places.tsv.gz is not in the assembly");
        using var unpacked = new GZipStream(resource, CompressionMode.Decompress);
        using var text = new MemoryStream(capacity: 1 << 21);
        unpacked.CopyTo(text);
        return new(text.ToArray());
    }

    public Place? Find(string zip)
    {
        var key = Encoding.ASCII.GetBytes(zip);
        var low = _firstRow;
        var high = _text.Length;
        while (low < high)
        {
            var row = StartOfRow((low + high) / 2);
            var order = _text.AsSpan(row, ZipLength).SequenceCompareTo(key);
            if (order == 0)
            {
                return Read(row);
            }

            if (order < 0)
            {
                low = EndOfRow(row) + 1;
            }
            else
            {
                high = row;
            }
        }

        return null;
    }

    public IEnumerable<Place> All()
    {
        for (var row = _firstRow; row < _text.Length; row = EndOfRow(row) + 1)
        {
            yield return Read(row);
        }
    }

    private Place Read(int row)
    {
        var fields = Encoding.UTF8.GetString(_text, row, EndOfRow(row) - row).Split('\t');
        return new(
            fields[0],
            fields[5],
            fields[4],
            double.Parse(fields[1], CultureInfo.InvariantCulture),
            double.Parse(fields[2], CultureInfo.InvariantCulture),
            _zones[int.Parse(fields[3], CultureInfo.InvariantCulture)]
        );
    }

    private int StartOfRow(int position) => _text.AsSpan(0, position).LastIndexOf((byte)'\n') + 1;

    private int EndOfRow(int row) => row + _text.AsSpan(row).IndexOf((byte)'\n');
}
