using System.IO.Compression;
using System.Text;

namespace TurfWatch.Store.Tests;

/// <summary>The packed form of a message in its row: gzip (RFC 1952), written by whoever, bounded and whole or refused.</summary>
public sealed class OutboxPackingTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(28_000)]
    [InlineData(3_000_000)]
    public void What_is_packed_comes_back(int length)
    {
        var content = new byte[length];
        new Random(length).NextBytes(content.AsSpan(0, length / 2));
        Assert.Equal(content, OutboxRow.Unzip(OutboxRow.Zip(content)));
    }

    [Fact]
    public void What_another_program_packed_is_read() =>
        // gzip.compress(b"Mow now.\r\n", mtime=0) of Python 3.11.
        Assert.Equal(
            "Mow now.\r\n",
            Encoding.ASCII.GetString(
                OutboxRow.Unzip(
                    Convert.FromHexString(
                        "1f8b0800000000000203f3cd2f57c8cb2fd7e3e502002ce1e0da0a000000"
                    )
                )
            )
        );

    [Fact]
    public void A_bomb_is_refused_before_it_takes_memory()
    {
        var bomb = Packed(new byte[64 * 1024 * 1024]);
        var before = GC.GetAllocatedBytesForCurrentThread();
        Assert.Throws<InvalidDataException>(() => OutboxRow.Unzip(bomb));
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1_000_000);
    }

    [Fact]
    public void A_length_that_lies_is_refused()
    {
        var packed = Packed(new byte[1000]);
        foreach (var said in new byte[] { 0, 1, 0xE7, 0xE9, 0xFF })
        {
            byte[] lying = [.. packed];
            lying[^4] = said;
            Assert.Throws<InvalidDataException>(() => OutboxRow.Unzip(lying));
        }

        // More than deflate can make of so few bytes.
        byte[] greedy = [.. packed];
        greedy[^2] = 0x7F;
        Assert.Throws<InvalidDataException>(() => OutboxRow.Unzip(greedy));
    }

    [Fact]
    public void Bytes_that_were_cut_or_changed_are_refused()
    {
        var content = new byte[5000];
        new Random(7).NextBytes(content);
        var packed = Packed(content);
        for (var cut = 20; cut < packed.Length; cut += 97)
        {
            Assert.Throws<InvalidDataException>(() => OutboxRow.Unzip(packed[..cut]));
        }

        packed[packed.Length / 2] ^= 1; // found by the CRC-32
        Assert.Throws<InvalidDataException>(() => OutboxRow.Unzip(packed));
    }

    private static byte[] Packed(byte[] content)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            gzip.Write(content);
        }

        return packed.ToArray();
    }
}
